"""All topics, by name and in the order in which a printer meets them."""

from assistant.calculations import baths, exposures, in_parts, safelight, times
from assistant.calculations.topic import Topic

TOPICS: dict[str, Topic] = {
    topic.name: topic for topic in (*exposures.TOPICS, *in_parts.TOPICS, *safelight.TOPICS, *baths.TOPICS, *times.TOPICS)
}

"""All topics, by name and in the order in which a printer meets them."""

from assistant.reckoning import baths, exposures, in_parts, safelight, times
from assistant.reckoning.topic import Topic

TOPICS: dict[str, Topic] = {
    topic.name: topic for topic in (*exposures.TOPICS, *in_parts.TOPICS, *safelight.TOPICS, *baths.TOPICS, *times.TOPICS)
}

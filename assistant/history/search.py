"""Finding sessions again: by negative, paper, title, date, and by any words that were said or added."""

from assistant.history.printed import Printed


def found(record: Printed, words: str) -> bool:
    """Whether every one of the words occurs somewhere in what is known of a session, in capitals or not."""
    text = "\n".join(_known(record)).casefold()
    return all(word.casefold() in text for word in words.split())


def _known(record: Printed) -> list[str]:
    session, recipe, course = record.session, record.recipe, record.course
    known = [session.title, session.file, f"{session.started:%Y-%m-%d}", *(words for _, words in course.notes)]
    known += [part for remark in record.remarks for part in (remark.words, remark.holder, remark.judged or "")]
    known += [bath.bath.name for bath in record.baths]
    if recipe is None:
        return known
    negative, paper = recipe.negative, recipe.paper
    known += [recipe.notes, *(filter(None, [negative.name, negative.orientation]) if negative else ())]
    known += [one.name for one in recipe.prints] + [one.negative.name for one in recipe.prints if one.negative]
    known += filter(None, [paper.name, paper.grade, paper.batch]) if paper else ()
    return known

"""What late taps say of a printer's hands: the pace for which several copies should be planned."""

from statistics import median

from assistant.planning.hand_times import Hands
from assistant.planning.hand_work import SECOND
from assistant.session.bench import Bench

OFTEN = 5
"""One move in so many has to be late: of simulated editions of eight, hands that answered after 2 s were late in up to one of
eight, hands that answered after 4 s in one of five."""


def proposed(bench: Bench, hands: Hands) -> str:
    """How late the hands came, and how to have it planned for, in words; "" where they were as quick as `hands` says."""
    first = bench.plan.station_after(0)
    moves = sum(1 for copy in bench.copies for stay in copy.stays if 0 < stay.step < first or stay.kind == "develop")
    if not bench.late or len(bench.late) * OFTEN < moves:
        return ""
    own = bench.plan.recipe.hands
    seconds = -(-round(median(bench.late)) // SECOND)
    if seconds * SECOND <= hands.but(own).pace:
        return ""
    where = f"`hands.pace = {seconds}` in the settings" if own.pace is None else f"`pace: {seconds} s` among the recipe's `hands`"
    late = f"{seconds} second{'' if seconds == 1 else 's'} late at {len(bench.late)} of {moves} moves"
    return f"Your taps came {late}: {where} has the next plan leave room for that."

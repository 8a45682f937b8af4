"""Let many people note the same tag and place the same piece at once; print what became of it."""

import json
import sys
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from functools import partial
from threading import Barrier

import django

django.setup()

from django.db import connections  # noqa: E402
from django.utils import timezone  # noqa: E402

from coordinator.refused import Refused  # noqa: E402
from tests.factories import make_person, make_piece, make_section, make_stone  # noqa: E402
from workdays.actions.pieces import PicturesOfPiece, judge_fit, log_piece  # noqa: E402
from workdays.models import FitJudgement, LoosePiece  # noqa: E402


def main(people: int) -> None:
    """Let each of so many people place one piece at a stone of their own, and note tag L1."""
    now, section, by = timezone.now(), make_section(), make_person()
    stones = [make_stone(section) for _ in range(people)]
    piece = make_piece(section.cemetery, tag="L0")
    # Yesterday, whatever the hour: the day at the cemetery may still be the one before UTC's.
    values = {"tag": "L1", "found_on": now.date() - timedelta(days=1), "place": "at the wall"}
    gate = Barrier(2 * people)
    acts: list[Callable[[], object]] = [
        partial(judge_fit, piece, stone, fits=True, why="", by=by, now=now) for stone in stones
    ]
    note = partial(log_piece, section.cemetery, values, PicturesOfPiece(), by=by, now=now)

    def told(act: Callable[[], object]) -> list[str]:
        gate.wait(60)
        try:
            act()
        except Refused as refused:
            return [refusal.code for refusal in refused.refusals]
        finally:
            connections.close_all()
        return ["done"]

    with ThreadPoolExecutor(2 * people) as pool:
        answers = Counter(
            code for codes in pool.map(told, [*acts, *[note] * people]) for code in codes
        )
    piece.refresh_from_db()
    [word] = FitJudgement.objects.filter(piece=piece)
    found = {
        "answers": answers,
        "tags": LoosePiece.objects.filter(tag="L1").count(),
        "agrees": word.stone_id == piece.stone_id,
    }
    sys.stdout.write(json.dumps(found))


main(int(sys.argv[1]))

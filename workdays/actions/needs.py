"""Take what was done off what a stone needs."""

from datetime import date

from workdays.models import Conclusion, Job, Stone


def take_off_need(job: Job, *, on: date, source: str) -> None:
    """Take what a done job did off what its stone needs; anything graver stays as it was.

    What a later look, or a person's later word, asks for stays too. ``source`` says who told it.
    """
    before = job.stone.conclusion if job.stone else None
    need = job.kind.sign
    if job.stone is None or before is None or need not in before.needs:
        return
    if on < _said_on(before):
        return
    if job.stone.jobs.filter(kind=job.kind, state=Job.State.OPEN).exists():
        return  # dug free is not reset yet: the need ends with its last job
    told = f"{job.kind.name} was done on {on:%-d %B %Y}."
    after = Conclusion.objects.create(
        stone=job.stone,
        survey=before.survey,
        kind=before.kind,
        needs=[other for other in before.needs if other != need],
        look_again_on=before.look_again_on,
        reasons=[*before.reasons, {"sentence": told, "source": source}],
    )
    # A look that was concluded from meanwhile stays in force: it knows more.
    Stone.objects.filter(pk=job.stone.pk, conclusion=before).update(conclusion=after)
    job.stone.conclusion = after


def _said_on(row: Conclusion) -> date:
    if row.survey is not None:
        return row.survey.on
    by_a_person = row.overridden_by_id is not None
    return row.made_at.astimezone(row.stone.cemetery.zone).date() if by_a_person else date.min

"""The text that everybody of the season signs, in two languages: an example, not for use."""

from datetime import datetime, timedelta

from workdays.models import Waiver
from workdays.rules.signed_text import sha256

ENGLISH = """You help of your own free will and without pay.

Old stones are heavy and break without warning. They can hurt you badly. The ground is uneven; \
there are holes, insects, heat and cold.

You do as the lead of your crew says, and you stop when they say stop. You do only work that you \
were shown, and you never work alone. You tell us what you cannot do; nobody asks why.

You come at your own risk. This does not cover harm that somebody does on purpose or recklessly.

You may ask for a paper form instead, and you may take your agreement back at any time; then you \
cannot work on the day. Local law decides what this text can and cannot do.
"""
SPANISH = """Usted ayuda por voluntad propia y sin paga.

Las lápidas viejas pesan mucho y se rompen sin avisar. Pueden herirle de gravedad. El suelo es \
desigual; hay hoyos, insectos, calor y frío.

Usted hace lo que dice quien dirige su grupo, y para cuando le dicen que pare. Hace solo el \
trabajo que le han enseñado y nunca trabaja a solas. Nos dice lo que no puede hacer; nadie \
pregunta por qué.

Viene por su propia cuenta y riesgo. Esto no cubre el daño que alguien cause a propósito o por \
imprudencia temeraria.

Puede pedir un formulario en papel, y puede retirar su acuerdo cuando quiera; entonces no puede \
trabajar ese día. La ley del lugar decide lo que este texto puede y no puede hacer.
"""


def publish(*, now: datetime) -> Waiver:
    """Publish it for every place, once in each language; return the first text."""
    first = _row("What you agree to", ENGLISH, "en", now)
    first.save()
    _row("Lo que usted acepta", SPANISH, "es", now, translates=first).save()
    return first


def _row(title: str, text: str, language: str, now: datetime, **more: Waiver) -> Waiver:
    return Waiver(
        title=title,
        version=1,
        language=language,
        text=text,
        text_sha256=sha256(text),
        validity=Waiver.Validity.NEW_VERSION,
        published_at=now - timedelta(days=220),
        **more,
    )

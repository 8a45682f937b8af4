"""What a minor agrees to, in words that can be read aloud: common practice, no source."""

from __future__ import annotations

from dataclasses import dataclass

ENGLISH = "en"


@dataclass(frozen=True)
class YoungRules:
    """The rules in one language, and the words by which a child says yes to them."""

    language: str
    agreed: str
    text: str

    @property
    def shown(self) -> list[str]:
        """Return the rules one by one, for a page."""
        return self.text.split("\n\n")


IN_ENGLISH = YoungRules(
    ENGLISH,
    "I have read or heard these rules, and I keep to them.",
    """I stay with my guardian and in our crew.

I do what the lead says, and I stop when I am told to stop.

I lift, lever and hold no stone, and I climb, lean or sit on none.

I touch a stone only where I was shown how.

I use no tool and no cleaner that nobody has shown me.

I say at once when I am too hot, too cold, tired or hurt, or when something frightens me.""",
)
IN_SPANISH = YoungRules(
    "es",
    "He leído o escuchado estas reglas y las cumplo.",
    """Me quedo con mi tutor y en nuestro grupo.

Hago lo que dice quien dirige el grupo, y paro cuando me dicen que pare.

No levanto ni sostengo ninguna lápida, ni la muevo con palanca; no me subo a ninguna, ni me apoyo \
ni me siento en ella.

Toco una lápida solo donde me han enseñado cómo.

No uso ninguna herramienta ni ningún limpiador que nadie me haya enseñado a usar.

Digo enseguida si tengo mucho calor o mucho frío, si me canso, si me hago daño o si algo me \
asusta.""",
)
IN_GERMAN = YoungRules(
    "de",
    "Ich habe diese Regeln gelesen oder gehört und halte mich daran.",
    """Ich bleibe bei meinem Vormund und in unserer Gruppe.

Ich tue, was die Leitung sagt, und höre auf, wenn es heißt: aufhören.

Ich hebe, hebele und halte keinen Stein, und ich klettere, lehne oder setze mich auf keinen.

Ich fasse einen Stein nur dort an, wo man mir gezeigt hat, wie.

Ich nehme kein Werkzeug und kein Reinigungsmittel, das mir niemand gezeigt hat.

Ich sage sofort, wenn mir zu heiß oder zu kalt ist, wenn ich müde bin oder mir weh tue, oder wenn \
mir etwas Angst macht.""",
)
KNOWN = {rules.language: rules for rules in (IN_ENGLISH, IN_SPANISH, IN_GERMAN)}
AGREED, RULES = IN_ENGLISH.agreed, IN_ENGLISH.text


def rules_in(language: str) -> YoungRules:
    """Return the rules in a language, or in English where they are not known in it."""
    return KNOWN.get(language, IN_ENGLISH)

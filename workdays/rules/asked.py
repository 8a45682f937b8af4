"""What is asked at sign-up, why, and who sees it; each named by the stored field it fills."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Asked:
    """One thing asked: the model and field it is stored in, its words, why, who sees it."""

    model: str
    field: str
    words: str
    why: str
    seen_by: str


STAFF = "organisers and supervisors of places you come to"
ORGANISERS = "organisers of places you come to"
ASKED = (
    Asked(
        "person",
        "name",
        "Your name",
        "to know who comes, who signed, and to call the roll on the ground",
        f"{STAFF}; your crew",
    ),
    Asked(
        "person",
        "email",
        "E-mail",
        "to mail you the link that makes your place sure, the copy of what you sign, and changes",
        STAFF,
    ),
    Asked("person", "telephone", "Telephone", "to reach you on the day", STAFF),
    Asked(
        "person",
        "emergency_name",
        "Whom to call in an emergency",
        "stones are heavy: if you are hurt, somebody must be told",
        STAFF,
    ),
    Asked("person", "emergency_telephone", "Their telephone", "the same", STAFF),
    Asked(
        "signup",
        "languages",
        "Languages",
        "so that you can understand the cautions of whoever leads your crew",
        STAFF,
    ),
    Asked(
        "signup",
        "experience",
        "What you have done before",
        "so that nobody new works without somebody who knows",
        STAFF,
    ),
    Asked(
        "signup",
        "seats_from",
        "Seats, and from where",
        "so that people can share a car; a town or crossing, no address",
        "others who come, without your name until you both agree",
    ),
    Asked("signup", "words", "Anything else", "what you want us to know for this one day", STAFF),
    Asked(
        "signup",
        "brings",
        "What you bring",
        "to know which tools and water the day still lacks",
        STAFF,
    ),
    Asked(
        "signature",
        "typed_name",
        "Your name, typed under the text",
        "it is your signature: that you were told the risks and agree",
        ORGANISERS,
    ),
)

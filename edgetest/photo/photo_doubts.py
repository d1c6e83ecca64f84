"""Why a photograph was not measured, or is doubted: short codes with a sentence and the mend."""

from dataclasses import dataclass

from edgetest.doubts import doubt


@dataclass(frozen=True)
class Reason:
    """A refusal or a warning: a code for programs, a sentence for people."""

    code: str
    text: str

    def to_dict(self):
        """The pair as JSON carries it."""
        return {"code": self.code, "text": self.text}


def refusal(code, more=""):
    """Reason to refuse, with the particulars of this picture after the sentence."""
    return Reason(code, doubt(code, more).text)


def warning(code, more=""):
    """Doubt that does not stop the measurement."""
    return Reason(code, doubt(code, more).text)

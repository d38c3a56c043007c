"""Posts of challenges, what they may find worth a word, and where everybody reads them."""

from __future__ import annotations

from rest_framework import serializers

from training.api.fields import Entries, Text, Texts
from training.api.serializers.challenges import PRAISES, PostedWord
from training.api.serializers.shape import Shape
from training.challenging import MOST_WORDS
from training.selectors import posts, worth_a_word


class PostedLine(Shape):
    """A line of the result that a post tells of."""

    class Meta:
        dataclass = posts.PostedLine


class Post(Shape):
    """A post. `outside`: names as they may leave the club, as text, sheet and picture have them."""

    rules = serializers.DictField(help_text="What the result was made by.")

    class Meta:
        dataclass = posts.PostView
        ref_name = "Post"
        inner = (PostedLine, PostedWord)


class Suggestion(Shape):
    """Something worth a word, with its figures; `key` names it to `words` of a post."""

    kind = serializers.ChoiceField(choices=PRAISES)
    figures = serializers.DictField()

    class Meta:
        dataclass = worth_a_word.Suggestion
        ref_name = "WorthAWord"


class MakePost(Entries):
    """What a post finds worth a word."""

    words = Texts(
        child=Text(max_length=100),
        max_length=MOST_WORDS,
        default=list,
        help_text="Keys, as `words` of the challenge suggest them.",
    )


class PublicAddress(serializers.Serializer[object]):
    """Where everybody who has it reads the posts; null where nobody outside does."""

    page = serializers.CharField(allow_null=True)
    feed = serializers.CharField(allow_null=True, help_text="As Atom (RFC 4287).")

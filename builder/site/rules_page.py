"""The rules page: what the checker looks at, in the words of each rule's own module."""

from __future__ import annotations

import markdown
from markupsafe import Markup

from builder.records.all_rules import ALL_RULES
from builder.site.published import PublishedPage, Renderer
from builder.words import rule_words
from builder.words.catalogue import say
from builder.words.unbroken import unbroken_html

ADDRESS = "rules/"


def rules_page(render: Renderer) -> PublishedPage:
    """List every rule with its explanation, anchored by its name."""
    rules = [
        # The explanations are texts of this package, not of entries.
        (rule, Markup(unbroken_html(markdown.markdown(rule_words.explanation(rule), extensions=["fenced_code"]))))
        for rule in ALL_RULES
    ]
    return PublishedPage(
        address=ADDRESS,
        title=say("page.rules"),
        description=say("about.rules"),
        html=render("rules.html", depth=1, rules=rules),
        section="contribute.md",
    )

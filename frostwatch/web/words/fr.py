"""Words of the pages."""

from frostwatch.web.words.en import WORDS as WORDS

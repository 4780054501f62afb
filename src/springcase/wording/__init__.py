"""The one catalogue of sentences, used at the doors."""

"""The canonical form of a description: the same lines, put in order of depth, columns and blank lines.

Works on the tree as written, never on the model: numbers, units, comments and words stay as the keeper wrote them.
May import source, syntax and the vocabulary; must not import the model, figures or emit.
"""

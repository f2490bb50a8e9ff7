"""What the writer wrote: text in, a checked Programme out, every fault with its place.

A file goes through source.py (bytes to text), tree.py (text to a tree with places) and building.py
(tree to forms, which are the classes of programme.py, profiles.py and sounds.py; their values are
converted by values.py). loading.py then looks at what a whole script means, by way of scene.py.
"""

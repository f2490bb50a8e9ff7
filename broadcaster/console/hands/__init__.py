"""What the keys do on each sheet, one file for each. The hand itself has the keys that work
everywhere, and gives the others to the sheet that lies on top.
"""

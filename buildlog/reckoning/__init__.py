"""Facts to knowledge: order, places, articles, histories, inspection status, hours, the task network.

Pure functions over frozen types. Nothing here reads a file, a clock or a setting of the machine.
"""

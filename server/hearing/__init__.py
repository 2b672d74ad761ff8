"""Words with times from a recording, listened to by a recogniser in a process of its own.

keeper      has one take after the other listened to, and keeps the words
__main__    that process: writes what it hears as lines of JSON, and ends with the app
whisper     the recogniser, where one is installed
"""

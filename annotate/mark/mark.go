package mark

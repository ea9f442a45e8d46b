"""Where documents meet the engine: the baker's words in, complete SI inputs out."""

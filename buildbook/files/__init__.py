"""What is put on disk: files in one move, arrays in the cache folder, the starter vehicle."""

"""Show: pictures, staves, sound and files. One third-party library a file, no theory."""

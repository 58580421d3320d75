"""A handout for Thursday, one block for each of two colours, made for the B flat players."""

from theorykit.handout import Handout

blocks = [f'[[block]]\nkind = "colour"\ncolour = "{name}"\nkey = "F"\n' for name in ("b9", "b9 13")]
handout = Handout.parse('title = "Two colours over C7"\n\n' + "\n".join(blocks))
print([block.kind for block in handout.blocks])
for file in handout.make("thursday", "B flat", files=["pages", "text"], progress=False):
    print(file.name)

"""Five questions at the console; the answers are given here, as somebody would type them."""

from theorykit import question

right = 0
for number in range(5):
    asked = question("shortcut over V", level=3, keys=["C", "Db", "F#"], seed=number)
    print(f"{number + 1}. {asked.prompt}")
    said = asked.judge(asked.answer if number else "C")
    right += said.right
    print("  ", said.words)
print(right, "of 5")

// Package rescue says what to weigh when something went wrong at the bench: too much of a line, a
// syrup boiled too far, a reading that is off, gelatin that was boiled or is of another grade, a
// cream that split, a glaze that will not pour, a bowl that is not enough.
//
// Every answer is a Remedy: masses to add, the new total, the figures before and after, what it
// does downstream, and on whose word. Masses follow from the balance of what is in the bowl.
// Where nothing helps, Possible is false and Why says so: make it again. How the case is named is
// up to the cook; nothing here guesses what went wrong.
package rescue

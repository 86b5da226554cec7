// Package boxfill says whether what is in a box fits it under the box-fill rules
// of a region: each line of the count and of the room with the section it comes
// from, what is required, what is available, and what helps when it does not fit.
//
// In order of use:
//
//	table: a [Table], filled by hand or from a rule file
//	result, err := boxfill.Fill(table, boxfill.Contents{...})
//	choices, err := boxfill.Pick(table, stock, contents)       // boxes it fits into
//	remedies, err := boxfill.Remedies(table, contents, options) // what helps
//	fmt.Print(result.Explain())
//
// An error means a malformed question and lists all that is wrong with it. What
// happened to a good question is a [Status]: a box that is too small, a box of
// unknown volume, and a figure that the region does not give surely enough.
// Volumes are whole picoliters, in which every figure of a code's tables and
// every quarter of one is exact, so a box can be exactly full, and fits.
//
// Where the inch and the metric column of a code disagree, the column that the
// table names rules, and the result says what the other would have said.
//
// Enumerations travel as words: String gives the word, MarshalText refuses a value
// that has none, and UnmarshalText a text that is none of them.
//
// The package does not know which conductors a cable brings, what a circuit's
// overcurrent device allows, how conductors larger than the volume method are
// dealt with, or whether a box is otherwise suitable. It is no substitute for
// the locally adopted code, its inspector, or licensed practice.
package boxfill

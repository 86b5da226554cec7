// Package course sets exercises of package lab to a class: it reads the exercise file
// and the class list, gives every student a variant, prints the papers and their key,
// and marks the answers that come back.
//
// # Use
//
//	f, err := course.Parse("exercise.yaml", src, nil)  // err: every mistake, each at its line and column
//	base, err := f.Base(ctx, os.ReadFile)              // the job file it names, or generated jobs
//	class, err := course.ParseClass("class.csv", list) // in the order in which they sit
//	set, err := course.Make(ctx, f, base, secret, class, nil)
//	p := &set.Papers[3]                                // of the fourth student
//	page, err := p.SheetHTML()                         // what the student gets, and nothing else
//	key, err := p.KeyHTML()                            // what the instructor keeps
//	rows := p.Rows(course.Handed{Name: name, Form: filledIn})
//	book.Put(class, rows...)                           // a row a question, with why marks were lost
//
// # The exercise file
//
// YAML as the job file has it (see package job): scalars are the text that was written,
// unknown and doubled keys are errors. Keys with a * must be there.
//
//	format:    *  1, before all else
//	title:     *  what stands on top of every sheet
//	region:    *  the region whose rules hold, such as us-2023
//	base:      *  the name of a job file, or what to generate:
//	  places:     how many places switch the control: 2 to 4
//	  lights:     how many lights it has: 1 to 2
//	  two gang:   how many places have a second switch beside the first: 0 to 1
//	  feed:       where the feed comes in: first place, last place, middle place, light
//	  light:      where the first light hangs: first place, last place, middle place
//	  spare:      how many runs there are beside those that reach everything, for plan it
//	  breaker:    its rating: 15 A
//	variants:  *  how many different papers there are
//	seed:         a whole number; another gives other papers under the same secret
//	time:         how long the students have: 45 min
//	row:          how many sit in a row, in the order of the class list
//	tools:        moves that may be made on practice wiring; left out, all
//	danger:       marks lost for each dangerous move on practice wiring; left out, none
//	tasks:     *  a list, each with
//	  task:    *  one of lab.Names
//	  marks:   *  what a right answer is worth
//	  level:      the difficulty wanted: 4 to 9, 4 or more, any
//
// Levels of different tasks are not comparable (see lab.Difficulty), and they are
// measured with every tool at hand, whatever tools allows.
//
// # Who gets what
//
// A secret of 32 bytes keys everything by HMAC-SHA256 (RFC 2104, FIPS 180-4): the
// seeds of the variants, who gets which, and the sheet number on a paper, by which an
// answer finds its paper and which does not tell the variant. The same file, base, list
// and secret print the same papers again. No student file holds the secret, a seed, the
// number of a variant or an answer; whoever has the secret and the file can make the key.
//
// # What it does not do
//
// It does not watch the room, and practice on a screen does not replace supervised
// practice on real wiring; all that it prints says so.
package course

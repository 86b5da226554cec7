// Package lab makes exercises on real wiring logic for those who learn the trade: a
// question with variants by seed, practice wiring to flip and meter, and marking that
// gives equivalent answers their marks and says why the others lost some.
//
// # Use
//
//	base, err := lab.Generate(lab.Recipe{Region: region})   // or lab.FromFile(file)
//	task, ok := lab.Lookup("predict lights")                // one of lab.Tasks, or your own
//	x, err := task.Make(ctx, base, seed, lab.Band{})        // deterministic
//	sheet := x.Sheet()                                      // all that the student sees
//	p := x.Practice()                                       // nil where there is none
//	out, err := p.Do(move)                                  // lab.ParseMove("flip loft/aisle")
//	result := x.Mark(answer)                                // points, and why some were lost
//
// Nothing but the sheet and what practice shows may reach a student: the seed, the base
// and the key stay with the instructor.
//
// # Tasks
//
// In the order of [Tasks], with what counts as a step and as a class of its [Difficulty]:
//
//   - wire it: land the tagged conductors of switches on their screws. Steps: the ends.
//     Classes: the ways to land each on a screw of its box, those that come to the same
//     counted once.
//   - complete it: make up one box that was left open. Steps: its ends, pigtails and
//     leads. Classes: the ways to place them in as many splices of the same sizes.
//   - find the fault: which of some faults is in practice wiring. Steps: the looks and
//     continuity tests that it takes to make the most telling one each time. Classes: the
//     faults that what the sheet tells leaves.
//   - identify the conductors: where the conductors of an unmarked box go. Steps: the
//     insulated conductors. Classes: the ways to give each a piece of metal elsewhere.
//   - plan it: which cable goes along which run, at least cost. Steps: the runs. Classes:
//     the trees of runs.
//   - prove it: the shortest walk of flips that shows up each of some faults. Steps: its
//     flips. Classes: the faults that lights tell apart.
//   - inspect it: what an inspection finds, and where. Steps: the sorts of finding asked
//     about. Classes: the places to choose from.
//   - predict lights: what a light does in every setting. Steps: the settings.
//   - predict readings: what a tester shows. Steps: the readings.
//   - predict box fill: what volume a box needs, and whether it has it. Steps: the lines
//     of the count.
//   - predict size: the smallest conductor for a circuit. Steps: the rules looked at.
//     Classes: the sizes to choose from.
//
// Where no classes are named there is one: the sheet says all that it takes. On a base
// that is one job, a task has as many different exercises as the job has of it, which for
// plan it is one.
//
// [Solver] solves them all from the sheet and the practice wiring.
//
// # Own tasks
//
// [Task] and [Exercise] are small, so that a program can have tasks of its own; package
// labtest checks that one keeps the promises stated with them.
//
// # Difficulty
//
// It is measured on the exercise that was made and not guessed from its settings: how
// many answers still fit at first sight, how many steps it takes at best, how many
// places and ganged boxes there are. [Difficulty.Level] adds them up by weights that
// are a judgement and are stated there.
//
// # Order
//
// Everything is the same for the same base, seed and band: sheets to the byte, lists in
// the order that their documentation states.
//
// # What it does not do
//
// It knows the drawing and ideal practice wiring, not a building, a hand or an eye.
// Practice on a screen does not replace supervised practice. Every sheet says so, and
// carries the cautions: de-energize, lock out and tag, prove the tester before and
// after, follow the locally adopted code and its inspector, leave the work to those who
// are licensed for it.
package lab

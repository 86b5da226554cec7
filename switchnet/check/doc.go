// Package check finds what is wrong with a wiring: each finding with its place, a state
// that shows it, the rule of the region that it breaks, and ways to cure it.
//
// # Use
//
// Choose suites, join them if there are several, and run them:
//
//	suite := check.Everything(region)            // or Safety, Edition, Workmanship
//	found, err := check.Run(ctx, check.Job{Wiring: w, Intent: file.Intent}, suite, nil)
//	for _, f := range found {
//	    pos, _ := file.Position(f.Place.At)      // where the file says so
//	    fmt.Printf("%s:%v: %s: %s\n", file.Name, pos, f.Code, f.Message)
//	}
//
// A rule is a value, and a program may put rules of its own beside those of this
// package. The code of a finding and the words of its standing are the contract; its
// message is for reading.
//
// # What it does not know
//
// It judges what was written down, in ideal metal: no loose screw, no worn contact, no
// ampere. What it finds nothing wrong with may be wrong all the same. A [Suite] lists
// what it leaves out and why; a region that has no figure for a rule leaves it out too.
//
// It takes the building for a dwelling: what a kind of room demands of protection, and a
// stair of its switches, is what it demands in one.
//
// It is a statement about a drawing, and so are its fixes: a proposal for a person to
// carry out and verify. Before anyone touches the wiring: de-energize, lock out and tag,
// prove the tester before and after, follow the locally adopted code and its inspector;
// the work is for those who are licensed for it.
package check

// Prove says whether every switch works from every state of the others, over all
// states at once.
//
//	go run ./examples/prove                     the boat shed that is built in
//	go run ./examples/prove -places 100000
//	go run ./examples/prove -job shed.yaml
//	go run ./examples/prove -job shed.yaml -json
//
// With -places it builds a chain of so many places, three-ways at the ends and
// four-ways between, every device turned at random from -seed, and prints the
// proof, the counts and what each step took. Without, it takes the wiring of a job file,
// or the boat shed that is built in, and proves each control group of it: for each
// light whether each of the group's switches toggles it from every state, the two
// settings that show it if not, by what law it is lit, and whether it is clean when
// off; and for the whole wiring whether any state shorts. Breakers are on.
//
//	-exceptions N  show, for up to N switches of each light, a move that fails (3)
//	-transit       also stop every handle half way, break before make and make
//	               before break, and look for shorts there
//	-budget N      the most diagram nodes a question may make
//	-json          one JSON object, experimental until a release
//
// The object has, with -places: places, seed, states, lit, unlit, toggled, shorted,
// without_effect (switches that in some state do nothing), seconds. Otherwise:
// title, switches, states, shorted (count, state), transit (kind, count, state),
// controls (name, switches, missing, lights: name, place, law, rule, proven, lit,
// unlit, dim, faulted, exceptions: switch, place, from, to, before, after, state;
// unclean: terminal, count, state) and before_work, the cautions for work on
// wiring. Counts are text, since they may have any number of digits.
//
// Exit status: 0 everything is proven; 1 a file or the question itself is wrong; 2
// the program was called the wrong way; 3 something is not as it should be; 4 the
// wiring is too knotted to answer within the budget.
package main

import (
	"context"
	"errors"
	"io"

	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/allstates"
)

func main() { program.Main(run) }

const usage = `Usage: prove -places N [-seed S] [-json]
       prove [-job FILE] [-exceptions N] [-transit] [-json]

Says whether every switch works from every state of the others, over all states
at once: in a chain of so many places, or in a job. Without -job it uses the boat shed
that is built in.
Exit status: 0 everything is proven, 3 something is not as it should be, 4 the wiring
is too knotted, 1 or 2 the question or the call is wrong.

`

// flagged are the flags as they were written.
type flagged struct {
	places, exceptions, budget int
	seed                       uint64
	job                        string
	transit, json              bool
}

func run(ctx context.Context, args []string, out, errs io.Writer) int {
	p := program.New("prove", usage, errs)
	flags := p.Flags
	var f flagged
	flags.IntVar(&f.places, "places", 0, "prove a chain of `N` places, 2 to 2000000")
	flags.Uint64Var(&f.seed, "seed", 1, "turn the devices of the chain by seed `S`")
	flags.StringVar(&f.job, "job", "", "prove the control groups of the job in `FILE`")
	flags.IntVar(&f.exceptions, "exceptions", 3, "show a move that fails for up to `N` switches of each light")
	flags.BoolVar(&f.transit, "transit", false, "also look for shorts with handles half way")
	flags.IntVar(&f.budget, "budget", 0, "the most diagram nodes `N` that a question may make; 0 is the default")
	flags.BoolVar(&f.json, "json", false, "print JSON")
	if status, ok := p.Parse(args); !ok {
		return status
	}
	var m program.Mistakes
	p.NoOperands(&m)
	if f.places != 0 && f.job != "" {
		m.Add("", "give -places N or -job FILE and not both")
	}
	if f.places != 0 && (f.places < 2 || f.places > 2_000_000) {
		m.Add("places", "%d is out of range; a chain has 2 to 2000000 places", f.places)
	}
	if f.exceptions < 0 {
		m.Add("exceptions", "%d: want a number from 0", f.exceptions)
	}
	if f.budget < 0 {
		m.Add("budget", "%d: want a number from 0", f.budget)
	}
	err := m.Err()
	var found bool
	switch {
	case err != nil:
	case f.places > 0:
		found, err = proveChain(ctx, &f, out)
	default:
		found, err = proveJob(ctx, &f, out)
	}
	var knot *allstates.BudgetError
	switch {
	case errors.As(err, &knot):
		p.Fail(err)
		return program.NoAnswer
	case err != nil:
		return p.Fail(err)
	case found:
		return program.Fails
	}
	return program.Answered
}

// Size sizes and protects a circuit by the rules of a region, or judges one that is
// there, so that an answer can be checked figure by figure.
//
//	go run ./examples/size -region us-2023 -load "9 A" -continuous -length "80 ft"
//	go run ./examples/size -region us-2023 -load "1440 VA" -continuous -length "80 ft" -ambient "104 F" -carrying 8 -explain
//	go run ./examples/size -region uk-2018 -load "5 A" -length "32 m" -method 101 -cable "1.5 mm2 twin and earth"
//	go run ./examples/size -region us-2023 -judge "14 AWG" -breaker "20 A" -load "8 A" -path "120 ft"
//	go run ./examples/size -region us-2023 -largest-load "12 AWG" -continuous
//	go run ./examples/size -region us-2023 -longest-run "12 AWG" -load "10 A"
//	go run ./examples/size -region us-2023 -least-for-drop -load "10 A" -length "140 ft" -drop-method constant
//	go run ./examples/size -job shed.yaml -feed "shed lights" -explain
//
// Quantities carry their unit. The length is one way, the path out and back. With
// -job the circuit is judged as the file has it, or with -anew sized from its load
// and length. What is assumed because nobody said it is told.
//
//	-explain   every figure, with the section it comes from; what failed the next
//	           smaller size is marked
//	-amend F   lay the amendments of a rule file over the region
//	-json      one JSON object, experimental until a release: region (id, title,
//	           amended, cautions), feed (its name in the job file), notes (what was
//	           assumed), one of sizing, verdict, largest_load, longest_run and
//	           least_for_drop (those of package conductor: Sizing, Verdict,
//	           LargestLoad, Reach; size and status), explanation (its steps in
//	           words, in the same order, each with its section), cautions (of the
//	           answer) and before_work, the cautions for work on wiring
//
// Exit status: 0 it can be done, or what is there is lawful; 1 a file or the question
// itself is wrong; 2 the program was called the wrong way; 3 it cannot be done, or what
// is there is not lawful; 4 there is no answer, because the region has no such rule.
package main

import (
	"context"
	"flag"
	"io"

	"example.com/switchleg/internal/program"
)

func main() { program.Main(run) }

const usage = `Usage: size -region ID -load A [-continuous] [-length L | -path L] [...]
       size -region ID -judge SIZE -breaker A -load A [...]
       size -region ID -largest-load SIZE [-continuous] [...]
       size -region ID -longest-run SIZE -load A [...]
       size -region ID -least-for-drop -load A -length L [...]
       size -job FILE -feed NAME [-anew] [...]

Sizes and protects a circuit by the rules of a region, or judges one that is
there. Add -explain for every figure with its section, -json for JSON.
Exit status: 0 it can be done or is lawful, 3 it cannot or is not, 4 the region has
no such rule, 1 or 2 the question or the call is wrong.

`

// flagged are the flags as they were written.
type flagged struct {
	region, amend, job, feed                    string
	judge, largestLoad, longestRun              string
	leastForDrop, anew                          bool
	load, other, volts, powerFactor             string
	continuous                                  bool
	phases                                      int
	length, path, cable                         string
	terminations, ambient, bundleLength, method string
	carrying, sealed                            int
	receptacles, leastRating, lawOnly           bool
	breaker, atLeast, grounding                 string
	dropMethod, raceway, use, dropLimit         string
	loopExternal, loopCurve, location           string
	explain, json                               bool
}

func (f *flagged) define(flags *flag.FlagSet) {
	flags.StringVar(&f.region, "region", "", "rules of the region `ID`, such as us-2023")
	flags.StringVar(&f.amend, "amend", "", "lay the rule file `FILE` over the region")
	flags.StringVar(&f.job, "job", "", "take the circuit from the job in `FILE`")
	flags.StringVar(&f.feed, "feed", "", "the feed `NAME` of the job")
	flags.BoolVar(&f.anew, "anew", false, "with -job: size the circuit anew instead of judging it")
	flags.StringVar(&f.judge, "judge", "", "judge a circuit whose smallest conductor is of this `SIZE`")
	flags.StringVar(&f.largestLoad, "largest-load", "", "the largest load of this `SIZE`")
	flags.StringVar(&f.longestRun, "longest-run", "", "the longest run of this `SIZE` within the limit on voltage drop")
	flags.BoolVar(&f.leastForDrop, "least-for-drop", false, "the least size for voltage drop alone, whatever it may carry")
	flags.StringVar(&f.load, "load", "", "load `A`: \"12 A\", \"1440 VA\", or \"1440 W\" at the -power-factor")
	flags.BoolVar(&f.continuous, "continuous", false, "that load stays on for hours, as lighting does")
	flags.StringVar(&f.other, "other-load", "", "further load `A` that does not")
	flags.StringVar(&f.volts, "volts", "", "voltage `V` of the circuit; left out, the region's usual from line to neutral")
	flags.IntVar(&f.phases, "phases", 1, "`N` phases, 1 or 3")
	flags.StringVar(&f.powerFactor, "power-factor", "", "power factor `F` of the load, such as 0.9; left out, 1")
	flags.StringVar(&f.length, "length", "", "length `L` one way to the farthest load, such as \"80 ft\"")
	flags.StringVar(&f.path, "path", "", "length `L` of conductor out and back, for a circuit that returns another way")
	flags.StringVar(&f.cable, "cable", "", "`TYPE` such as 14/2, \"12/2 metal-clad\", \"loose 14 AWG 90 C black white green\"; its size is not binding")
	flags.StringVar(&f.terminations, "terminations", "", "temperature `T` every termination is listed for, such as \"75 C\"")
	flags.StringVar(&f.ambient, "ambient", "", "temperature `T` around the conductors, such as \"104 F\"; left out, the base of the tables")
	flags.IntVar(&f.carrying, "carrying", 0, "`N` current-carrying conductors lie together; 0 is the circuit's own")
	flags.StringVar(&f.bundleLength, "bundle-length", "", "for this `L`; left out, the whole run")
	flags.IntVar(&f.sealed, "sealed", 0, "`N` cables pass one sealed opening, or lie unspaced in insulation")
	flags.StringVar(&f.method, "method", "", "reference method `M`, where the region has them")
	flags.BoolVar(&f.receptacles, "receptacles", false, "the circuit supplies several receptacles")
	flags.StringVar(&f.breaker, "breaker", "", "rating `A` of the overcurrent device; left out, one is proposed")
	flags.BoolVar(&f.leastRating, "least-rating", false, "propose the least rating the region allows, even below the usual")
	flags.StringVar(&f.atLeast, "at-least", "", "smallest `SIZE` wanted")
	flags.StringVar(&f.grounding, "grounding", "", "`SIZE` of the grounding conductor that is there, to be judged")
	flags.StringVar(&f.dropMethod, "drop-method", "", "`WAY` to compute voltage drop: resistance, impedance, constant or rate; left out, the region's")
	flags.StringVar(&f.raceway, "raceway", "", "`MATERIAL` around the conductors, for impedance: pvc, aluminum or steel")
	flags.StringVar(&f.use, "use", "", "`USE` whose limit on voltage drop holds; left out, the region's usual")
	flags.StringVar(&f.dropLimit, "drop-limit", "", "a limit `P` of your own, such as \"2 %\"")
	flags.BoolVar(&f.lawOnly, "law-only", false, "do not enlarge conductors for a limit that is only advice")
	flags.StringVar(&f.loopExternal, "loop-external", "", "impedance `Z` of the fault loop outside the circuit, such as \"0.35 ohm\"")
	flags.StringVar(&f.loopCurve, "loop-curve", "", "trip `CURVE` of the breaker, to check the fault loop")
	flags.StringVar(&f.location, "location", "", "`PLACE` the circuit serves, for the protection it needs")
	flags.BoolVar(&f.explain, "explain", false, "print every figure with its section")
	flags.BoolVar(&f.json, "json", false, "print JSON")
}

func run(_ context.Context, args []string, out, errs io.Writer) int {
	p := program.New("size", usage, errs)
	var f flagged
	f.define(p.Flags)
	if status, ok := p.Parse(args); !ok {
		return status
	}
	q, err := ask(&f, p)
	if err != nil {
		return p.Fail(err)
	}
	a, err := answer(q)
	if err == nil {
		err = a.write(out, &f)
	}
	switch {
	case err != nil:
		return p.Fail(err)
	case !a.done:
		return program.Fails
	}
	return program.Answered
}

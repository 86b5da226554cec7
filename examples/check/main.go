// Check says everything that is wrong with the wiring of a job file, where the file says
// so, in which state of the switches it shows, and what would cure it.
//
//	go run ./examples/check                          the boat shed that is built in
//	go run ./examples/check -job FILE                a job of your own
//	go run ./examples/check -job FILE -suite safety  only what can shock or burn, and what does not work
//	go run ./examples/check -list                    what is asked, what is not, and why
//	go run ./examples/check -job FILE -fix -o NEW    write a proposal with the fixes made
//
//	-suite NAMES  everything, safety, workmanship or the id of the region, several
//	              with commas between; everything is the default
//	-rules ID     go by the rules of this region in place of the job's own
//	-amend F      lay the amendments of a rule file over the region
//	-quick        look for no fixes
//	-json         one JSON object, experimental until a release: title, job, rules (id,
//	              title, amended, cautions), suite (name, rules: how many), findings
//	              (at: file, line, column; related_at; finding, which package check
//	              documents), left_out (code, what, why), proposal (file, steps: does,
//	              for; left), and before_work, the cautions for work on wiring. With
//	              -list: rules, suites (name, rules: code, topic, doc; left_out)
//
// What is hazardous comes first, then what is unlawful, then what does not work or is poor
// work. A finding is printed as FILE:LINE:COLUMN and a sentence, and below it its code and
// how it is to be taken, positions of the switches that show it, other places that have to
// do with it, the rule that it breaks, and fixes, each of which was made in a copy of the
// job and checked again.
//
// The file that -fix writes is a proposal for a person to carry out and verify. It says so
// in its title and above its first line, lists the steps, and is never to be kept as a
// record of what was found; neither the job nor any other file that is no proposal is
// written over. One fix after the other is made, for each finding the first that still
// cures it, and the job checked again after each. Comments of the job are not carried
// over: what they say of the wiring as found would not be true of the proposal.
//
// Exit status: 0 nothing is found; 1 something is found; 2 the program was called the wrong
// way, or a file is wrong or cannot be read or written, and nothing is on the standard
// output; 4 there is no answer: the wiring is too knotted, or the program was stopped.
package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"

	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/allstates"
)

func main() { program.Main(run) }

const usage = `Usage: check [-job FILE] [-suite NAMES] [-rules ID] [-quick] [-json]
       check [-job FILE] [-suite NAMES] [-rules ID] -fix -o NEW
       check -list [-job FILE | -rules ID] [-json]

Says everything that is wrong with the wiring of a job file. Without -job it checks
the boat shed that is built in.

Exit status: 0 nothing is found; 1 something is found; 2 it was called the wrong way,
or a file is wrong; 4 there is no answer, or it was stopped.

`

// The exit statuses that are this program's own: whoever runs it to learn whether anything
// is found must not take a wrong file for a finding.
const (
	foundSome = 1
	wrongFile = program.Misused
)

// flagged are the flags as they were written.
type flagged struct {
	job, suite, rules, amend, out string
	list, fix, quick, json        bool
}

func run(ctx context.Context, args []string, out, errs io.Writer) int {
	p := program.New("check", usage, errs)
	var f flagged
	p.Flags.StringVar(&f.job, "job", "", "read the job from `FILE`")
	p.Flags.StringVar(&f.suite, "suite", everything, "ask the suites `NAMES`")
	p.Flags.StringVar(&f.rules, "rules", "", "go by the rules of region `ID`, not the job's own")
	p.Flags.StringVar(&f.amend, "amend", "", "lay the rule file `FILE` over the region")
	p.Flags.BoolVar(&f.list, "list", false, "list what is asked, what is not, and why")
	p.Flags.BoolVar(&f.fix, "fix", false, "write a proposal with the fixes made")
	p.Flags.StringVar(&f.out, "o", "", "with -fix: write it to `FILE`")
	p.Flags.BoolVar(&f.quick, "quick", false, "look for no fixes")
	p.Flags.BoolVar(&f.json, "json", false, "print JSON")
	if status, ok := p.Parse(args); !ok {
		return status
	}
	if err := f.misuse(p); err != nil {
		return p.Fail(err)
	}
	found, err := f.answer(ctx, out, errs)
	var knot *allstates.BudgetError
	switch {
	case errors.As(err, &knot):
		p.Fail(err)
		return program.NoAnswer
	case err != nil:
		if status := p.Fail(err); status != program.Wrong {
			return status
		}
		return wrongFile
	case found:
		return foundSome
	}
	return program.Answered
}

// misuse returns what is wrong with the flags, all of it.
func (f *flagged) misuse(p *program.Program) error {
	var m program.Mistakes
	if p.Flags.NArg() > 0 {
		m.Add("", "%q is no flag; give the file with -job", p.Flags.Arg(0))
	}
	if f.fix != (f.out != "") {
		m.Add("", "-fix and -o FILE go together: a proposal is a file of its own")
	}
	if f.fix && f.quick {
		m.Add("", "give either -fix or -quick, which looks for no fixes")
	}
	if f.fix && f.list {
		m.Add("", "give either -fix or -list")
	}
	if f.fix && f.out != "" {
		switch old, err := os.ReadFile(f.out); {
		case sameFile(f.job, f.out):
			m.Add("o", "%s is the job itself; what was found is not written over by a proposal", f.out)
		case err == nil && !bytes.HasPrefix(old, []byte("# "+mark)):
			m.Add("o", "%s is there and is no proposal; give the proposal another name", f.out)
		}
	}
	return m.Err()
}

// sameFile reports whether two names are of one file that is there.
func sameFile(a, b string) bool {
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && os.SameFile(x, y)
}

// answer does what the flags ask for and reports whether anything is found.
func (f *flagged) answer(ctx context.Context, out, errs io.Writer) (found bool, err error) {
	if f.list {
		region, err := f.region()
		if err != nil {
			return false, err
		}
		return false, f.tell(region, out)
	}
	c, err := f.read()
	if err != nil {
		return false, err
	}
	stop := program.Patience(errs, "checking")
	r, err := c.report(ctx, f)
	stop()
	if err != nil {
		return false, err
	}
	if f.fix && len(r.found) > 0 {
		stop := program.Patience(errs, "making fixes")
		err := c.propose(ctx, r, f.out)
		stop()
		if err != nil {
			return false, err
		}
	}
	if f.json {
		return len(r.found) > 0, program.WriteJSON(out, r)
	}
	return len(r.found) > 0, r.write(out)
}

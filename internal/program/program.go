// Package program is what the project's programs have in common: how one starts and
// ends, what its exit status means, how it says that it was called the wrong way,
// and how it reads a job or a region and writes JSON.
//
// [Main] runs a program. Within it [New] and [Program.Parse] read the flags, a
// [Mistakes] collects what is wrong with them, [Region] and [Job] read files, and
// [Program.Fail] ends a run that cannot answer.
package program

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
)

// The exit statuses of every program.
const (
	Answered = 0 // it is answered, and the answer is a good one
	Wrong    = 1 // a file or the question itself is wrong
	Misused  = 2 // the program was called the wrong way
	Fails    = 3 // it is answered: it does not fit, cannot be met, is not as it should be
	NoAnswer = 4 // the question is a good one, and there is no answer to it here
)

// Main calls run with the arguments of the process and a context that ends when the
// user interrupts, and exits with the status that run returns.
func Main(run func(ctx context.Context, args []string, out, errs io.Writer) int) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	status := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(status)
}

// Program is one run of a program.
type Program struct {
	// Flags takes the definitions of the flags before Parse.
	Flags *flag.FlagSet
	name  string
	usage string
	errs  io.Writer
}

// New returns a run of the named program. Usage is printed above the list of flags
// when help is asked for; it ends with an empty line. Complaints go to errs.
func New(name, usage string, errs io.Writer) *Program {
	p := &Program{Flags: flag.NewFlagSet(name, flag.ContinueOnError), name: name, usage: usage, errs: errs}
	p.Flags.SetOutput(io.Discard)
	return p
}

// Parse reads the arguments. If ok is false the run ends with the status: help was
// asked for and printed, or a flag is wrong and that was said. A flag that is given
// twice is wrong, unless it gathers its values in a function, and so is one that
// stands after an argument that is no flag.
func (p *Program) Parse(args []string) (status int, ok bool) {
	twice := watch(p.Flags)
	err := p.Flags.Parse(args)
	var m Mistakes
	for _, name := range twice() {
		m.Add(name, "given more than once, and only the last would count; write it once")
	}
	for _, arg := range late(p.Flags) {
		m.Add("", "%q stands after %q; write flags first", arg, p.Flags.Arg(0))
	}
	switch {
	case err == nil && m.Err() == nil:
		return Answered, true
	case err == nil:
		return p.Fail(m.Err()), false
	case errors.Is(err, flag.ErrHelp):
		fmt.Fprint(p.errs, p.usage)
		p.Flags.SetOutput(p.errs)
		p.Flags.PrintDefaults()
		return Answered, false
	}
	return p.Fail(misuse{[]string{err.Error()}}), false
}

// NoOperands notes every argument that is no flag.
func (p *Program) NoOperands(m *Mistakes) {
	for _, arg := range p.Flags.Args() {
		m.Add("", "%q is no flag; every part of the question has one", arg)
	}
}

// Fail prints the error and returns the exit status: [Misused] for an error of
// [Mistakes.Err], [NoAnswer] where all that is wrong is that the region has no such
// rule or that the user or a time limit stopped it, [Wrong] for any other.
func (p *Program) Fail(err error) int {
	var m misuse
	if !errors.As(err, &m) {
		stopped := errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)
		if stopped {
			err = fmt.Errorf("stopped before there was an answer: %w", err)
		}
		fmt.Fprintln(p.errs, err)
		if stopped || noRule(err) {
			return NoAnswer
		}
		return Wrong
	}
	for _, problem := range m.problems {
		fmt.Fprintf(p.errs, "%s: %s\n", p.name, problem)
	}
	fmt.Fprintf(p.errs, "%s -h tells the flags.\n", p.name)
	return Misused
}

// noRule reports whether the error, with every error in it, is that of a region which
// has no such rule.
func noRule(err error) bool {
	switch e := err.(type) {
	case *conductor.MissingRuleError:
		return true
	case *boxfill.Problem:
		return errors.Is(e, boxfill.ErrNoRule)
	case interface{ Unwrap() error }:
		return noRule(e.Unwrap())
	case interface{ Unwrap() []error }:
		all := e.Unwrap()
		for _, err := range all {
			if !noRule(err) {
				return false
			}
		}
		return len(all) > 0
	}
	return false
}

// Mistakes collects what is wrong with the way a program was called. Its zero value
// is ready.
type Mistakes struct{ problems []string }

// Add notes a mistake in the named flag, or in the call as a whole where the name is
// empty.
func (m *Mistakes) Add(flag, format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	if flag != "" {
		text = "-" + flag + ": " + text
	}
	m.problems = append(m.problems, text)
}

// Err returns all mistakes in the order in which they were noted, or nil.
func (m *Mistakes) Err() error {
	if len(m.problems) == 0 {
		return nil
	}
	return misuse{m.problems}
}

// Value reads the text of a flag; a text that is empty gives the zero value, and one
// that read refuses gives it too and is noted.
func Value[T any](m *Mistakes, flag, text string, read func(string) (T, error)) T {
	var zero T
	if text == "" {
		return zero
	}
	v, err := read(text)
	if err != nil {
		m.Add(flag, "%v", err)
		return zero
	}
	return v
}

// misuse is the error of a program that was called the wrong way.
type misuse struct{ problems []string }

func (m misuse) Error() string { return strings.Join(m.problems, "\n") }

// WriteJSON writes a value as the programs write JSON: indented, a line break at the
// end, nothing escaped that JSON does not need escaped.
func WriteJSON(out io.Writer, v any) error {
	e := json.NewEncoder(out)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

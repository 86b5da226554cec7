// Trace finds out with you what is miswired in a job: it says what still fits what was
// seen and measured, proposes the test that tells most for its effort, and takes the
// answer.
//
//	go run ./examples/trace                          the boat shed that is built in
//	go run ./examples/trace -job FILE                a job of your own, as it is meant to be
//	go run ./examples/trace -job FILE -save S        keep what was answered in the file S
//	go run ./examples/trace -job FILE -resume S      go on from there
//	go run ./examples/trace -job FILE < ANSWERS      the same through a pipe
//	go run ./examples/trace -job FILE -json < S      where that has come to, as JSON
//	go run ./examples/trace -job FILE -strategy      every test and every answer from here to the cause, as a card
//	go run ./examples/trace -job FILE -walk          the shortest walk of flips that shows every fault that lights betray
//	go run ./examples/trace -job FILE -unknown       boxes are open, cables go nobody knows where: which conductor is which
//	go run ./examples/trace -job FILE -ringout       the continuity tests before any device is fitted
//
// What is typed is documented in package lines; "help" prints it. A file without a
// wiring is planned first, as the program plan does.
//
// Exit status: 0 one cause or none is left, or what was asked for is printed; 1 the file
// or a line is wrong, and what is wrong where is said; 2 the program was called the
// wrong way; 3 no single fault gives what was reported, or brittle insulation ended it;
// 4 more than one cause is left, or it was stopped.
package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"time"

	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
	"example.com/switchleg/switchnet/wiring"
)

func main() {
	program.Main(func(ctx context.Context, args []string, out, errs io.Writer) int {
		return run(ctx, args, os.Stdin, out, errs)
	})
}

const usage = `Usage: trace [-job FILE] [-resume FILE] [-save FILE] [-json] [what is known ...]
       trace [-job FILE] [-resume FILE] -strategy
       trace [-job FILE] -walk [-start LIGHT=GLOW ...] [-from BOX]
       trace [-job FILE] -ringout
       trace [-job FILE] -unknown [-resume FILE] [-save FILE] [-json] [-no-live] [-from BOX]
             [-open BOX,BOX] [-disturbed BOX ...] [-parted BOX ...] [-released BOX ...]

Finds out with you what is miswired in a job: says what still fits, proposes the
next test, takes the answer. It reads lines from the terminal or from a pipe.
Without -job it uses the boat shed that is built in.

A switch or a light is written BOX:NAME; the line "help" says how all else is.
Exit status: 0 one cause or none is left, 1 or 2 the file, a line or the call is
wrong, 3 no single fault gives what was reported, 4 more than one cause is left.

`

// call is what the command line asks for.
type call struct {
	file, resume, save, from        string
	known, replaced, filament       []string
	sees, start                     []string
	worked, noDead, noLive          bool
	asJSON, strategy, walk, ringOut bool
	sort                            bool // which conductor is which
	// Of -unknown: boxes that stand open, in which somebody worked, and that are taken apart.
	open, disturbed, parted, released []string
	input                             io.Reader
	terminal                          bool // a person types
	errs                              io.Writer
}

func run(ctx context.Context, args []string, in io.Reader, out, errs io.Writer) int {
	c := call{input: in, terminal: isTerminal(in), errs: errs}
	p := program.New("trace", usage, errs)
	flags := p.Flags
	list := func(to *[]string) func(string) error {
		return func(s string) error { *to = append(*to, s); return nil }
	}
	flags.StringVar(&c.file, "job", "", "read the job, as it is meant to be, from `FILE`")
	flags.StringVar(&c.resume, "resume", "", "first read the lines in `FILE`")
	flags.StringVar(&c.save, "save", "", "keep the lines in `FILE`, after each one; it may be that of -resume")
	flags.BoolVar(&c.asJSON, "json", false, "print JSON at the end, and nothing before it")
	flags.BoolVar(&c.strategy, "strategy", false, "print every test and every answer from here to the cause")
	flags.BoolVar(&c.sort, "unknown", false, "the boxes are open and cables go nobody knows where: find out which conductor is which")
	flags.Func("open", "unknown: a `BOX` that stands open, or several with commas between, if not all that have a switch or a cable that goes nobody knows where; may be repeated", list(&c.open))
	flags.Func("disturbed", "unknown: a `BOX` in which somebody worked since the lights last obeyed; may be repeated", list(&c.disturbed))
	flags.Func("parted", "unknown: a `BOX` in which every conductor was taken apart and capped before anybody noted what was joined; may be repeated", list(&c.parted))
	flags.Func("released", "unknown: a `BOX` from which the devices were taken and the splices left; may be repeated", list(&c.released))
	flags.BoolVar(&c.walk, "walk", false, "print the shortest walk of flips that shows every fault that lights betray")
	flags.Func("start", "walk: what a light does before the first flip, `LIGHT=GLOW`; may be repeated", list(&c.start))
	flags.StringVar(&c.from, "from", "", "the `BOX` where you are")
	flags.BoolVar(&c.ringOut, "ringout", false, "print the continuity tests before any device is fitted")
	flags.Func("replaced", "a device `BOX:NAME` that was lately replaced or worked on; may be repeated", list(&c.replaced))
	flags.BoolVar(&c.worked, "worked", false, "every switch worked until it stopped, and no box was opened since: what wears and comes loose is likelier")
	flags.Func("known", "a switch `BOX:NAME` whose handle is up when the drawing says so; may be repeated", list(&c.known))
	flags.Func("filament", "a light `BOX:NAME` that an ohmmeter reads as a resistance; may be repeated", list(&c.filament))
	flags.Func("sees", "`LIGHT=BOX`: of a light, a box from which it is seen, if not from all; may be repeated", list(&c.sees))
	flags.BoolVar(&c.noDead, "no-dead", false, "propose no test with the circuit dead")
	flags.BoolVar(&c.noLive, "no-live", false, "propose no reading with the circuit live")
	if status, ok := p.Parse(args); !ok {
		return status
	}
	var m program.Mistakes
	p.NoOperands(&m)
	c.misuse(&m)
	if err := m.Err(); err != nil {
		return p.Fail(err)
	}
	status, err := c.answer(ctx, out)
	if err != nil {
		return p.Fail(err)
	}
	return status
}

// misuse notes what does not go together.
func (c *call) misuse(m *program.Mistakes) {
	cards := 0
	for _, on := range []bool{c.strategy, c.walk, c.ringOut, c.sort} {
		if on {
			cards++
		}
	}
	if cards > 1 {
		m.Add("", "give one of -strategy, -walk, -ringout and -unknown")
	}
	if len(c.start) > 0 && !c.walk {
		m.Add("start", "it goes with -walk")
	}
	if (c.walk || c.ringOut) && (c.resume != "" || c.save != "") {
		m.Add("", "-walk and -ringout do not depend on a session; leave out -resume and -save")
	}
	if c.sort && c.file == "" {
		m.Add("unknown", "it wants a job file with what is seen in the open boxes, its cables with to: unknown; give -job FILE")
	}
	if !c.sort && len(c.open)+len(c.disturbed)+len(c.parted)+len(c.released) > 0 {
		m.Add("", "-open, -disturbed, -parted and -released go with -unknown")
	}
	if c.worked && len(c.replaced) > 0 {
		m.Add("worked", "no box was opened since, it says, and -replaced says that one was; leave one out")
	}
	if c.strategy && c.save != "" {
		m.Add("save", "-strategy takes no lines; leave it out")
	}
}

// isTerminal reports whether a person types.
func isTerminal(in io.Reader) bool {
	f, ok := in.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// bench is a job on which a fault is looked for.
type bench struct {
	job   *program.Job
	title string
	c     *trace.Case
	v     *lines.Vocabulary
}

// wired reads the job and its wiring, planned if it has none.
func (c *call) wired(ctx context.Context) (*program.Job, *wiring.Wiring, error) {
	if c.file == "" {
		return program.WiredJob("", "")
	}
	j, err := program.ReadRequest(c.file, "", false)
	if err != nil {
		return nil, nil, err
	}
	spec := j.Wiring
	if !j.HasWiring() {
		p, err := j.Plan(ctx, plan.Options{}, c.errs)
		if err != nil {
			return nil, nil, err
		}
		if !p.Status.OK() {
			return nil, nil, fmt.Errorf("%s: this has no wiring yet and cannot be wired as it is wanted; the program plan says what is in its way", j.Name)
		}
		spec = p.Spec
	}
	w, err := wiring.New(spec)
	if err != nil {
		return nil, nil, j.Explain(err)
	}
	return j, w, nil
}

// bench reads the job and weighs its faults.
func (c *call) bench(ctx context.Context) (*bench, error) {
	j, w, err := c.wired(ctx)
	if err != nil {
		return nil, err
	}
	opt, err := c.options(w)
	if err != nil {
		return nil, err
	}
	slow := time.AfterFunc(time.Second, func() {
		fmt.Fprintln(c.errs, "weighing every fault in every setting of the switches ...")
	})
	defer slow.Stop()
	b := &bench{job: j, title: j.Title}
	if b.c, err = trace.New(ctx, w, opt); err != nil {
		return nil, fmt.Errorf("%s: %w", j.Name, err)
	}
	b.v = lines.For(w, b.c.Points())
	return b, nil
}

// options reads what the flags say of the job.
func (c *call) options(w *wiring.Wiring) (*trace.Options, error) {
	v := lines.For(w, nil)
	var m program.Mistakes
	refs := func(flag string, texts []string, read func(string) (switchnet.Ref, error)) []switchnet.Ref {
		var out []switchnet.Ref
		for _, t := range texts {
			r, err := read(t)
			if err != nil {
				m.Add(flag, "%v", err)
			}
			out = append(out, r)
		}
		return out
	}
	opt := &trace.Options{NoDead: c.noDead, NoLive: c.noLive, Known: refs("known", c.known, v.Switch)}
	if c.worked {
		priors := trace.WornPriors()
		opt.Priors = &priors
	}
	if len(c.replaced) > 0 {
		priors := trace.DefaultPriors()
		priors.Replaced = refs("replaced", c.replaced, v.Device)
		opt.Priors = &priors
	}
	for _, t := range c.filament {
		l, err := v.Light(t)
		if err != nil {
			m.Add("filament", "%v", err)
		}
		opt.Filament = append(opt.Filament, l)
	}
	for _, t := range c.sees {
		s, err := v.Sight(t)
		if err != nil {
			m.Add("sees", "%v", err)
		}
		opt.Sight = append(opt.Sight, s)
	}
	return opt, m.Err()
}

// answer does what is asked for.
func (c *call) answer(ctx context.Context, out io.Writer) (int, error) {
	if c.sort {
		return c.unknown(ctx, out)
	}
	if c.ringOut {
		return program.Answered, c.printRingOut(ctx, out)
	}
	b, err := c.bench(ctx)
	if err != nil {
		return 0, err
	}
	if c.walk {
		return program.Answered, c.printWalk(ctx, b, out)
	}
	d := &desk{bench: b, s: b.c.Session(), out: out, errs: c.errs, save: c.save, terminal: c.terminal}
	if c.asJSON || c.strategy {
		d.out = io.Discard
	}
	if err := d.open(ctx, c); err != nil {
		return 0, err
	}
	if c.strategy {
		return program.Answered, d.printStrategy(ctx, c.asJSON, out)
	}
	status, err := d.talk(ctx, c.input)
	if err == nil && c.asJSON {
		err = d.printState(ctx, out)
	}
	return status, err
}

// caution writes the cautions.
func caution(out io.Writer) error {
	fmt.Fprintln(out)
	return cautions.Write(out, 80)
}

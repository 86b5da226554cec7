// Meter puts the probes of an instrument on two terminals of a wired job, in a state
// of its switches, and says what the instrument shows and what is behind it.
//
//	go run ./examples/meter                                     an idle traveler of the boat shed that is built in
//	go run ./examples/meter -set loft:aisle=down RED BLACK      other probes, another state
//	go run ./examples/meter -with ohms -set panel:'shed lights'=off RED BLACK
//	go run ./examples/meter -with clamp C5.white                round a wire, or several
//	go run ./examples/meter -with clamp C5                      round a whole cable
//	go run ./examples/meter -sweep -svg volts.svg               every state: a table and a plot
//	go run ./examples/meter -job FILE ...                       a job of your own
//
// A terminal is written BOX:DEVICE.TERMINAL, a wire's end BOX:CABLE.COLOUR and the
// grounding rail of the service service.ground. Handles are set with BOX:DEVICE=POSITION.
//
// Exit status: 0 it is read; 1 the file or a name is wrong, and what is wrong where is
// said; 2 the program was called the wrong way; 4 it was stopped before it was read.
package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

func main() { program.Main(run) }

const usage = `Usage: meter [-job FILE] [-set BOX:DEVICE=POSITION ...] [-with INSTRUMENT] [RED BLACK]
       meter [-job FILE] [-set ...] [-vary BOX:DEVICE ...] -sweep [-drop] [-svg FILE]

Puts an instrument on a wired job and reads it, or lists what every light gets in
every state. Without -job it uses the boat shed that is built in.

RED and BLACK are terminals, BOX:DEVICE.TERMINAL, or ends of wires, BOX:CABLE.COLOUR;
a clamp goes round wires, CABLE.COLOUR, or round a whole CABLE.
Exit status: 0 it is read, 4 it was stopped, 1 or 2 the question or the call is wrong.

`

// call is what the command line asks for.
type call struct {
	file, with, known, svg string
	set, vary              []string
	open, led, sweep, drop bool
	fault, length          string
	probes                 []string
}

func run(ctx context.Context, args []string, out, errs io.Writer) int {
	var c call
	p := program.New("meter", usage, errs)
	flags := p.Flags
	list := func(to *[]string) func(string) error {
		return func(s string) error { *to = append(*to, s); return nil }
	}
	flags.StringVar(&c.file, "job", "", "read the job from `FILE`")
	flags.Func("set", "put a handle in a position, `BOX:DEVICE=POSITION`; may be repeated", list(&c.set))
	flags.StringVar(&c.with, "with", "high", "the `INSTRUMENT`: high or low impedance voltmeter, proximity, ohms or clamp")
	flags.StringVar(&c.known, "known", "", "prove the meter first on this live `TERMINAL`")
	flags.BoolVar(&c.open, "open", false, "break a lead of the meter")
	flags.BoolVar(&c.led, "led", false, "take every light as electronic, leaking 30 uA when off")
	flags.StringVar(&c.fault, "fault", "", "the supply's fault `CURRENT` at the panel, such as 5 kA; without it the supply is stiff")
	flags.StringVar(&c.length, "length", "", "take every cable whose length is not known as `LENGTH`, such as 10 m")
	flags.BoolVar(&c.sweep, "sweep", false, "list every light in every state")
	flags.Func("vary", "sweep this `BOX:DEVICE` only; may be repeated", list(&c.vary))
	flags.BoolVar(&c.drop, "drop", false, "sweep: voltage drop in place of volts")
	flags.StringVar(&c.svg, "svg", "", "sweep: write a plot to `FILE`")
	if status, ok := p.Parse(args); !ok {
		return status
	}
	c.probes = flags.Args()
	var m program.Mistakes
	if problem := c.misuse(); problem != "" {
		m.Add("", "%s", problem)
	}
	err := m.Err()
	if err == nil {
		err = c.answer(ctx, out)
	}
	if err != nil {
		return p.Fail(err)
	}
	return program.Answered
}

// misuse says what is wrong with the call, if anything is.
func (c *call) misuse() string {
	n := len(c.probes)
	switch {
	case c.sweep && n > 0:
		return "-sweep takes no probes"
	case !c.sweep && (c.drop || c.svg != "" || len(c.vary) > 0):
		return "-drop, -svg and -vary go with -sweep"
	case c.sweep:
		return ""
	case c.with == "high" || c.with == "low" || c.with == "ohms":
		if n == 0 && c.file == "" || n == 2 {
			return ""
		}
		return "give two terminals, RED and BLACK"
	case c.with == "proximity":
		if n == 1 {
			return ""
		}
		return "a proximity tester is held at one terminal"
	case c.with == "clamp":
		if n > 0 {
			return ""
		}
		return "give the wires, or the cable, that the clamp goes round"
	}
	return fmt.Sprintf("there is no instrument %q; there are high, low, proximity, ohms and clamp", c.with)
}

// bench is a job on the bench: solved, in a state.
type bench struct {
	w     *wiring.Wiring
	p     *steady.Problem
	state switchnet.State
	title string
}

func (c *call) bench() (*bench, error) {
	f, w, err := program.WiredJob(c.file, "")
	if err != nil {
		return nil, err
	}
	b := &bench{title: f.Title, w: w}
	opt := &steady.Options{}
	if c.fault != "" {
		if opt.Service.FaultCurrent, err = quantity.ParseCurrent(c.fault); err != nil {
			return nil, fmt.Errorf("meter: -fault: %w", err)
		}
		if opt.Service.FaultCurrent <= 0 {
			return nil, fmt.Errorf("meter: -fault %q: a fault current is above zero; leave it out for a stiff supply", c.fault)
		}
	}
	if c.length != "" {
		if opt.UnknownLength, err = quantity.ParseLength(c.length); err != nil {
			return nil, fmt.Errorf("meter: -length: %w", err)
		}
		if opt.UnknownLength <= 0 {
			return nil, fmt.Errorf("meter: -length %q: a length is above zero", c.length)
		}
	}
	if c.led {
		opt.Loads = map[switchnet.Ref]steady.Load{}
		for _, l := range f.Wiring.Lights {
			opt.Loads[switchnet.Ref{Place: l.Box, Name: l.Name}] = steady.Load{Kind: steady.Electronic, Leakage: 30 * quantity.Microampere}
		}
	}
	if b.p, err = steady.New(b.w, &f.Region.Conductor, opt); err != nil {
		if c.length == "" && strings.Contains(err.Error(), "has no length") {
			err = fmt.Errorf("%w\n-length takes the cables without one as long as you say", err)
		}
		return nil, fmt.Errorf("%s: %w", f.Name, err)
	}
	b.state = b.w.Net().Rest()
	for _, s := range c.set {
		device, position, ok := strings.Cut(s, "=")
		ref, err := b.device(device)
		if err == nil && !ok {
			err = fmt.Errorf("meter: -set %q names no position; write BOX:DEVICE=POSITION", s)
		}
		if err == nil {
			b.state, err = b.state.With(ref, position)
		}
		if err != nil {
			return nil, err
		}
	}
	return b, nil
}

func (c *call) answer(ctx context.Context, out io.Writer) error {
	b, err := c.bench()
	if err != nil {
		return err
	}
	var text strings.Builder
	fmt.Fprintf(&text, "%s\n\n", b.title)
	if c.sweep {
		err = c.sweepInto(ctx, &text, b)
	} else {
		err = c.readInto(&text, b)
	}
	if err != nil {
		return err
	}
	text.WriteByte('\n')
	if err := cautions.Write(&text, 80); err != nil {
		return err
	}
	_, err = io.WriteString(out, text.String())
	return err
}

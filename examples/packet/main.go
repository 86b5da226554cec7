// Packet prints the job packet of a job file: a cable schedule, a sheet for every
// box, the take-off, what each control does, and sizing. A file that says what is
// wanted and not how it is wired is planned first, as the program plan does.
//
//	go run ./examples/packet                  the boat shed that is built in
//	go run ./examples/packet -job FILE        a job of your own
//	go run ./examples/packet -json            the same as JSON, documented in package packet
//	go run ./examples/packet -o DIR           files: packet.txt, packet.json, take-off.csv, cables.csv, a sheet for each box
//
//	-amend F    lay the amendments of a rule file, and the prices in it, over the region
//	-waste N    buy N times the cable that is cut
//
// Exit status: 0 it is printed; 1 a file is wrong, and what is wrong where is said; 2
// the program was called the wrong way; 3 what is wanted cannot be wired on the runs
// there are; 4 it was stopped before it was done.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"example.com/switchleg/internal/atomicfile"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

func main() { program.Main(run) }

const usage = `Usage: packet [-job FILE] [-amend FILE] [-waste FACTOR] [-json | -o DIR]

Prints the job packet of a job file: cable schedule, box sheets, take-off, what
each control does, sizing. A file without a wiring is planned first. Without -job
it shows the boat shed that is built in.

`

func run(ctx context.Context, args []string, out, errs io.Writer) int {
	p := program.New("packet", usage, errs)
	file := p.Flags.String("job", "", "read the job from `FILE`")
	asJSON := p.Flags.Bool("json", false, "print JSON")
	dir := p.Flags.String("o", "", "write files into the folder `DIR`, made if need be")
	amend := p.Flags.String("amend", "", "lay the rule file `FILE`, with prices of your own, over the region")
	waste := p.Flags.String("waste", "", "buy `FACTOR` times the cable that is cut; left out, "+packet.DefaultWaste.Factor())
	if status, ok := p.Parse(args); !ok {
		return status
	}
	var m program.Mistakes
	if p.Flags.NArg() > 0 {
		m.Add("", "%q is no flag; give the file with -job", p.Flags.Arg(0))
	}
	if *asJSON && *dir != "" {
		m.Add("", "give either -json or -o")
	}
	count := &packet.TakeOffOptions{Waste: program.Value(&m, "waste", *waste, packet.ParseWaste)}
	err := m.Err()
	var doc *packet.Document
	if err == nil {
		doc, err = build(ctx, *file, *amend, count, errs)
	}
	if err == nil {
		err = write(doc, *asJSON, *dir, out)
	}
	var cannot *infeasible
	switch {
	case errors.As(err, &cannot):
		fmt.Fprintln(errs, err)
		if cannot.status == plan.NoneFound {
			return program.NoAnswer
		}
		return program.Fails
	case err != nil:
		return p.Fail(err)
	}
	return program.Answered
}

// infeasible is the error of a job that cannot be wired as it is wanted, or for which
// no way was found.
type infeasible struct {
	job    string
	status plan.Status
	lacks  []plan.Lack
}

func (e *infeasible) Error() string {
	var b strings.Builder
	how := "this cannot be wired as it is wanted"
	if e.status == plan.NoneFound {
		how = "no way was found to wire this as it is wanted"
	}
	fmt.Fprintf(&b, "%s: %s:\n", e.job, how)
	const most = 5
	for _, l := range e.lacks[:min(len(e.lacks), most)] {
		b.WriteString("  " + l.Why + "\n")
	}
	if n := len(e.lacks); n > most {
		fmt.Fprintf(&b, "  and so for %d runs more\n", n-most)
	}
	fmt.Fprintf(&b, "What would help: go run ./examples/plan -job %s", e.job)
	return b.String()
}

// build reads the job, plans it if it has no wiring, and makes its packet.
func build(ctx context.Context, name, amend string, count *packet.TakeOffOptions, errs io.Writer) (*packet.Document, error) {
	job, err := program.ReadJob(name, amend)
	if err != nil {
		return nil, err
	}
	in := packet.Input{Title: job.Title, Intent: job.Intent, Region: job.Region, TakeOff: count}
	spec := job.Wiring
	if !job.HasWiring() {
		p, err := job.Plan(ctx, plan.Options{}, errs)
		if err != nil {
			return nil, err
		}
		if !p.Status.OK() {
			return nil, &infeasible{job.Name, p.Status, p.Lacks}
		}
		spec = p.Spec
		in.Notes = planned(p)
		count.InPlace = packet.InPlace(job.Intent, p)
	}
	if in.Wiring, err = wiring.New(spec); err != nil {
		return nil, err
	}
	return packet.Build(ctx, in)
}

// planned says where the wiring comes from, and what the plan says its reader must
// know.
func planned(p *plan.Plan) []string {
	how := "at the least cost there is"
	if p.Status != plan.Optimal {
		how = "at the least cost that was found"
	}
	return append([]string{"The wiring was planned from what is wanted, " + how + "; the program plan says why each conductor is there."}, p.Notes...)
}

func write(doc *packet.Document, asJSON bool, dir string, out io.Writer) error {
	switch {
	case dir != "":
		files, err := packet.Files(doc)
		if err != nil {
			return err
		}
		var all []atomicfile.File
		for _, f := range files {
			all = append(all, atomicfile.File(f))
		}
		if err := atomicfile.WriteAll(dir, all); err != nil {
			return err
		}
		_, err = fmt.Fprintf(out, "%d files written to %s\n", len(files), dir)
		return err
	case asJSON:
		return packet.WriteJSON(out, doc)
	}
	return packet.WriteText(out, doc)
}

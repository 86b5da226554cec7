// Packet prints the job packet of a job file: a cable schedule, a sheet for every
// box, the take-off, what each control does, and sizing. A file that says what is
// wanted and not how it is wired is planned first, as the program plan does.
//
//	go run ./examples/packet                  the boat shed that is built in
//	go run ./examples/packet -job FILE        a job of your own
//	go run ./examples/packet -json            the same as JSON, documented in package packet
//	go run ./examples/packet -o DIR           files: packet.html, packet.txt, packet.json, take-off.csv, cables.csv, a sheet for each box, wired.yaml
//	go run ./examples/packet -o DIR -only slip-door,tags   sheets.html with these sheets and parts alone
//
//	-only N     write sheets.html, with the parts and the sheets of the boxes named, commas
//	            between: runs, cables, boxes, tags, take-off, sizing, findings, proof,
//	            ring-out, energizing, walk, or the name of a box; a name that is both is the part
//	-was F      there was an earlier packet, of the job with the wiring in F, such as the
//	            wired.yaml that came with it: plan again and keep what can be kept, or take
//	            the wiring of -job if it has one; name the sheets that are void, and let
//	            packet.html have no other box sheets
//	-revision N number it so; with -was 2 is taken if nothing is said
//	-amend F    lay the amendments of a rule file, and the prices in it, over the region
//	-waste N    buy N times the cable that is cut
//	-end L      allow L at each end of a cable in a box
//	-panel L    allow L at each end of a cable in a panel
//
// Exit status: 0 it is printed; 1 a file is wrong, and what is wrong where is said; 2
// the program was called the wrong way; 3 what is wanted cannot be wired on the runs
// there are; 4 it was stopped before it was done.
package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"example.com/switchleg/internal/atomicfile"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

func main() { program.Main(run) }

const usage = `Usage: packet [-job FILE] [-amend FILE] [-waste FACTOR] [-end LENGTH] [-panel LENGTH]
              [-was PLANNED [-revision N]] [-json | -o DIR [-only NAMES]]

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
	end := p.Flags.String("end", "", "allow `LENGTH` at each end of a cable in a box; left out, what the region's rules want")
	panel := p.Flags.String("panel", "", "allow `LENGTH` at each end of a cable in a panel; left out, as in a box")
	only := p.Flags.String("only", "", "with -o: write the parts and box sheets `NAMES` alone, commas between")
	was := p.Flags.String("was", "", "there was an earlier packet, of the job with the wiring in the file `PLANNED`")
	revision := p.Flags.Int("revision", 0, "with -was: the `NUMBER` of this revision; left out, 2")
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
	if *only != "" && *dir == "" {
		m.Add("only", "it chooses what goes into files; give -o DIR too")
	}
	if *was != "" && *dir == "" {
		m.Add("was", "it says which printed sheets are void; give -o DIR too")
	}
	if *revision != 0 && (*was == "" || *revision < 2) {
		m.Add("revision", "%d: a revision comes after an earlier plan, which -was names, and is 2 or later", *revision)
	}
	count := &packet.TakeOffOptions{Waste: program.Value(&m, "waste", *waste, packet.ParseWaste),
		End: program.Value(&m, "end", *end, packet.ParseAllowance), Panel: program.Value(&m, "panel", *panel, packet.ParseAllowance)}
	err := m.Err()
	var b *built
	if err == nil {
		b, err = build(ctx, *file, *amend, *was, count, proves(*only), errs)
	}
	if err == nil {
		switch {
		case *dir != "":
			err = b.files(ctx, *dir, *only, *revision, out, errs)
		case *asJSON:
			err = packet.WriteJSON(out, b.doc)
		default:
			err = packet.WriteText(out, b.doc)
		}
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

// built is a packet with what it was made from.
type built struct {
	in      packet.Input
	doc     *packet.Document
	wired   []byte           // the job with its wiring
	changed []plan.BoxChange // since the earlier packet, where there was one
	again   bool
}

// build reads the job, plans it if it has no wiring or was planned before, and makes
// its packet.
func build(ctx context.Context, name, amend, was string, count *packet.TakeOffOptions, proving bool, errs io.Writer) (*built, error) {
	job, err := program.ReadRequest(name, amend, false)
	if err != nil {
		return nil, err
	}
	var old *program.Job
	if was != "" {
		if old, _, err = program.WiredJob(was, amend); err != nil {
			return nil, err
		}
	}
	b := &built{in: packet.Input{Title: job.Title, Intent: job.Intent, Region: job.Region, TakeOff: count, Proving: proving}}
	spec := job.Wiring
	if !job.HasWiring() {
		p, err := planAgain(ctx, job, old, errs)
		if err != nil {
			return nil, err
		}
		if !p.Status.OK() {
			return nil, &infeasible{job.Name, p.Status, p.Lacks}
		}
		spec = p.Spec
		b.in.Notes = planned(p)
		count.InPlace = packet.InPlace(job.Intent, p)
	}
	if b.wired, err = job.WithWiring(spec); err != nil {
		return nil, err
	}
	if b.in.Wiring, err = wiring.New(spec); err != nil {
		return nil, err
	}
	stop := program.Patience(errs, "working out the packet")
	b.doc, err = packet.Build(ctx, b.in)
	stop()
	if err != nil || old == nil {
		return b, err
	}
	before := packet.Input{Title: old.Title, Intent: old.Intent, Region: job.Region}
	if before.Wiring, err = wiring.New(old.Wiring); err != nil {
		return nil, old.Explain(err)
	}
	earlier, err := packet.Build(ctx, before)
	if err != nil {
		return nil, err
	}
	b.changed, b.again = packet.Compare(earlier, b.doc), true
	return b, nil
}

// planAgain plans a job, and keeps what can be kept of an earlier plan, if there is one.
func planAgain(ctx context.Context, job, old *program.Job, errs io.Writer) (*plan.Plan, error) {
	if old == nil {
		return job.Plan(ctx, plan.Options{}, errs)
	}
	r, err := job.Revise(ctx, old, plan.Options{}, errs)
	if err != nil {
		return nil, err
	}
	return r.Plan, nil
}

// proves reports whether what is chosen has the ring-out list or the walk in it, which take
// their time.
func proves(only string) bool {
	if only == "" {
		return true
	}
	for _, name := range strings.Split(only, ",") {
		switch packet.Part(strings.TrimSpace(name)) {
		case packet.RingOutPart, packet.WalkPart:
			return true
		}
	}
	return false
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

// files writes the packet into a folder: all of it, or the page with what is chosen.
func (b *built) files(ctx context.Context, dir, only string, revision int, out, errs io.Writer) error {
	opt := &packet.PageOptions{}
	if b.again {
		opt.Revision = &packet.Revised{Number: max(revision, 2), Boxes: b.changed}
	}
	var m program.Mistakes
	for _, name := range strings.Split(only, ",") {
		switch name = strings.TrimSpace(name); {
		case name == "":
		case slices.Contains(packet.Parts(), packet.Part(name)):
			opt.Parts = append(opt.Parts, packet.Part(name))
		case slices.ContainsFunc(b.doc.Boxes, func(x packet.Box) bool { return x.Name == name }):
			opt.Boxes = append(opt.Boxes, name)
		default:
			m.Add("only", "there is no part and no box %q; the parts are %s", name, join(packet.Parts()))
		}
	}
	if err := m.Err(); err != nil {
		return err
	}
	stop := program.Patience(errs, "drawing the page")
	page, err := packet.NewPage(ctx, b.doc, b.in, opt)
	stop()
	if err != nil {
		return err
	}
	var html bytes.Buffer
	if _, err := page.WriteTo(&html); err != nil {
		return err
	}
	all := []atomicfile.File{{Name: "sheets.html", Data: html.Bytes()}}
	if only == "" {
		all[0].Name = "packet.html"
		files, err := packet.Files(b.doc)
		if err != nil {
			return err
		}
		for _, f := range files {
			all = append(all, atomicfile.File(f))
		}
		all = append(all, atomicfile.File{Name: wiredName, Data: b.wired})
	}
	before := b.replaced(dir)
	if before != nil && only == "" && !b.again {
		all = append(all, atomicfile.File{Name: beforeName, Data: before})
	} else {
		before = nil
	}
	if err := atomicfile.WriteAll(dir, all); err != nil {
		return err
	}
	said := "files"
	if len(all) == 1 {
		said = "file"
	}
	if _, err = fmt.Fprintf(out, "%d %s written to %s\n", len(all), said, dir); err != nil || only != "" {
		return err
	}
	old, err := stale(dir, all)
	if err == nil && len(old) > 0 {
		_, err = fmt.Fprintf(out, "Sheets of an earlier packet lie there too; throw them away: %s\n", strings.Join(old, ", "))
	}
	if err == nil && before != nil {
		_, err = fmt.Fprintf(out, "The packet that lay there was of another wiring, which is kept in %s. If its sheets\nare on site, give -was %[1]s: the page then names those that are void and holds no others.\n", filepath.Join(dir, beforeName))
	}
	return err
}

// wiredName is the file with the job and its wiring, for the next revision, and beforeName
// that of the packet that was replaced without a word about it.
const (
	wiredName  = "wired.yaml"
	beforeName = "wired-before.yaml"
)

// replaced returns the wiring of the packet that lies in a folder if it is another; nil
// if there is none that could be read. Whether the folder can be written is found out
// when it is.
func (b *built) replaced(dir string) []byte {
	text, err := os.ReadFile(filepath.Join(dir, wiredName))
	if err != nil || bytes.Equal(text, b.wired) {
		return nil
	}
	return text
}

// stale returns the box sheets of a folder that are none of the files, in name order.
func stale(dir string, files []atomicfile.File) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	var old []string
	for _, e := range entries {
		sheet := strings.HasPrefix(e.Name(), "box-") && strings.HasSuffix(e.Name(), ".txt")
		if sheet && !slices.ContainsFunc(files, func(f atomicfile.File) bool { return f.Name == e.Name() }) {
			old = append(old, e.Name())
		}
	}
	return old, nil
}

func join(parts []packet.Part) string {
	var names []string
	for _, p := range parts {
		names = append(names, string(p))
	}
	return strings.Join(names, ", ")
}

// Estimate takes a folder of job files and sums their material, and what it costs,
// for a whole building, as a table for spreadsheets.
//
//	go run ./examples/estimate                     the boat shed that is built in
//	go run ./examples/estimate -jobs DIR           every job file in a folder
//	go run ./examples/estimate -jobs DIR -o FILE   write the table into a file
//
//	-amend F      lay a rule file with prices, labor and local amendments over the
//	              region of every job
//	-waste N      buy N times the cable that is cut
//	-end L        allow L at each end of a cable in a box in place of the region's rule
//	-panel L      allow L at each end of a cable in a panel
//	-labor        add the figures for pulling cable to its prices when planning
//	-json         one JSON object, experimental until a release: rules (id, title,
//	              amended, cautions), jobs (file, title, rules, planned, cost, effort,
//	              notes), sums (rules, take_off as in the JSON of a packet), cost,
//	              effort, unpriced, left_out (file, why), passed_over (file, why).
//	              Costs are decimal numbers as text.
//
// Job files are the files of the folder itself whose names end in .yaml, .yml or .json
// and do not begin with a dot. A file that says what is wanted and not how it is wired
// is planned, as the program plan does. A file that cannot be counted is named on
// standard error with what is wrong in it, and the sums are those of the others; a
// file that describes an installation that stands is passed over and named as well.
//
// The columns of the table are those of the take-off of a packet (see package packet),
// with the rules and the number of jobs that have the line. Lines are in the order of
// the rules, then of the take-off. Prices and labor are those of the regions' stock,
// so that as a rule they come from -amend; where there are none, the columns are left
// out, and that is said on standard error. Where some cable of the stock has a price,
// jobs are planned with those that have one, at the least cost.
//
// Exit status: 0 all is counted; 1 some file could not be counted, and the sums are
// those of the others; 2 the program was called the wrong way; 4 it was stopped.
package main

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"time"

	"example.com/switchleg/internal/atomicfile"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/packet"
)

func main() { program.Main(run) }

const usage = `Usage: estimate [-jobs DIR] [-amend FILE] [-o FILE] [-json]

Sums the material of a folder of job files, and what it costs, for a whole
building. Without -jobs it counts the boat shed that is built in.

`

// question is what is asked.
type question struct {
	dir, out, amend string
	labor, json     bool
	count           packet.TakeOffOptions
}

func run(ctx context.Context, args []string, out, errs io.Writer) int {
	p := program.New("estimate", usage, errs)
	var q question
	p.Flags.StringVar(&q.dir, "jobs", "", "count the job files in the folder `DIR`")
	p.Flags.StringVar(&q.out, "o", "", "write into `FILE`")
	p.Flags.StringVar(&q.amend, "amend", "", "lay the rule file `FILE`, with prices, over the region of every job")
	p.Flags.BoolVar(&q.labor, "labor", false, "add the figures for pulling cable to its prices when planning")
	p.Flags.BoolVar(&q.json, "json", false, "write JSON")
	waste := p.Flags.String("waste", "", "buy `FACTOR` times the cable that is cut; left out, "+packet.DefaultWaste.Factor())
	end := p.Flags.String("end", "", "allow `LENGTH` at each end of a cable in a box; left out, what the region's rules want")
	panel := p.Flags.String("panel", "", "allow `LENGTH` at each end of a cable in a panel; left out, as in a box")
	if status, ok := p.Parse(args); !ok {
		return status
	}
	var m program.Mistakes
	p.NoOperands(&m)
	q.count.Waste = program.Value(&m, "waste", *waste, packet.ParseWaste)
	q.count.End = program.Value(&m, "end", *end, packet.ParseAllowance)
	q.count.Panel = program.Value(&m, "panel", *panel, packet.ParseAllowance)
	if q.dir != "" && q.out != "" && isJob(filepath.Base(q.out)) && same(q.dir, filepath.Dir(q.out)) {
		m.Add("o", "%s would be taken for a job the next time; write it into another folder or call it otherwise", q.out)
	}
	if err := m.Err(); err != nil {
		return p.Fail(err)
	}
	status, err := estimate(ctx, &q, out, errs)
	if err != nil {
		return p.Fail(err)
	}
	return status
}

// same reports whether two paths are those of one folder.
func same(a, b string) bool {
	x, err1 := os.Stat(a)
	y, err2 := os.Stat(b)
	return err1 == nil && err2 == nil && os.SameFile(x, y)
}

// estimate answers the question.
func estimate(ctx context.Context, q *question, out, errs io.Writer) (int, error) {
	jobs, err := find(q.dir)
	if err != nil {
		return 0, err
	}
	c := newCounter(q)
	ticks := time.NewTicker(time.Second)
	defer ticks.Stop()
	counted, err := all(ctx, len(jobs), func(i int) job { return c.count(ctx, jobs[i]) }, ticks.C, errs)
	if err != nil {
		return 0, err
	}
	s, err := newSum(counted)
	if err != nil {
		return 0, err
	}
	s.tell(errs)
	if len(s.Jobs) > 0 || len(s.LeftOut) == 0 {
		var b bytes.Buffer
		write := func(w io.Writer) error { return packet.WriteSumCSV(w, s.Sums) }
		if q.json {
			write = func(w io.Writer) error { return program.WriteJSON(w, s) }
		}
		if err := write(&b); err != nil {
			return 0, err
		}
		if q.out == "" {
			_, err = out.Write(b.Bytes())
		} else {
			err = atomicfile.Write(q.out, b.Bytes())
		}
		if err != nil {
			return 0, err
		}
	}
	if len(s.LeftOut) > 0 {
		return program.Wrong, nil
	}
	return program.Answered, nil
}

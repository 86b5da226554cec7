package main

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"time"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/internal/program"
	jobfile "example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// isJob reports whether a file of that name is a job file.
func isJob(name string) bool {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".yaml", ".yml", ".json":
		return !strings.HasPrefix(name, ".")
	}
	return false
}

// find returns the paths of the job files of a folder, in name order. Without a folder
// it is one empty path, which stands for the boat shed.
func find(dir string) ([]string, error) {
	if dir == "" {
		return []string{""}, nil
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, fmt.Errorf("cannot read the folder: %w", err)
	}
	var out []string
	for _, e := range entries {
		if isJob(e.Name()) && !e.IsDir() {
			out = append(out, filepath.Join(dir, e.Name()))
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("%s: there is no job file in this folder; their names end in .yaml, .yml or .json", dir)
	}
	return out, nil
}

// job is what became of one file.
type job struct {
	file     string
	title    string
	region   *rules.Region
	planned  bool
	takeOff  *packet.TakeOff
	notes    []string
	standing string // why it is passed over
	err      error
}

// all counts n jobs on all processors and returns them in their order. At each tick it
// says how far it is. The error is the end of ctx.
func all(ctx context.Context, n int, count func(i int) job, ticks <-chan time.Time, errs io.Writer) ([]job, error) {
	out := make([]job, n)
	next, done := make(chan int), make(chan struct{})
	var work sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		work.Go(func() {
			for i := range next {
				out[i] = count(i)
				done <- struct{}{}
			}
		})
	}
	stop := ctx.Done()
	for sent, finished := 0, 0; finished < n; {
		send := next
		if sent == n {
			send = nil
		}
		select {
		case send <- sent:
			sent++
		case <-done:
			finished++
		case <-ticks:
			fmt.Fprintf(errs, "%d of %d jobs counted\n", finished, n)
		case <-stop:
			n, stop = sent, nil // what is begun comes to its own end
		}
	}
	close(next)
	work.Wait()
	return out, ctx.Err()
}

// counter counts jobs. It may be used by many goroutines.
type counter struct {
	q       *question
	mutex   sync.Mutex
	regions map[string]func() (*rules.Region, error)         // each is read once
	plans   map[[sha256.Size]byte]func() (*plan.Plan, error) // what is wanted twice is planned once
}

func newCounter(q *question) *counter {
	return &counter{q: q, regions: map[string]func() (*rules.Region, error){}, plans: map[[sha256.Size]byte]func() (*plan.Plan, error){}}
}

// mostPlans is how many plans are kept for jobs that want the same, as the flats of a
// building do.
const mostPlans = 1000

// plan plans a job, or returns the plan of one that wants the same by the same rules.
func (c *counter) plan(ctx context.Context, f *jobfile.File) (*plan.Plan, error) {
	fresh := func() (*plan.Plan, error) {
		return plan.New(ctx, f.Intent, f.Region, &plan.Options{Labor: c.q.labor, Plain: true})
	}
	// The text of a value has all that is in it: an intent is plain data.
	key := sha256.Sum256(fmt.Appendf(nil, "%s %#v", f.Rules, f.Intent))
	c.mutex.Lock()
	planned, ok := c.plans[key]
	if !ok && len(c.plans) < mostPlans {
		planned, ok = sync.OnceValues(fresh), true
		c.plans[key] = planned
	}
	c.mutex.Unlock()
	if !ok {
		return fresh()
	}
	return planned()
}

func (c *counter) region(id string) (*rules.Region, error) {
	c.mutex.Lock()
	read, ok := c.regions[id]
	if !ok {
		read = sync.OnceValues(func() (*rules.Region, error) { return program.Region(id, c.q.amend) })
		c.regions[id] = read
	}
	c.mutex.Unlock()
	return read()
}

// count counts one job. The empty path is the boat shed.
func (c *counter) count(ctx context.Context, path string) job {
	out := job{file: path}
	var text []byte
	if path == "" {
		out.file, text = demo.ShedName, demo.Shed()
	} else if text, out.err = os.ReadFile(path); out.err != nil {
		out.err = fmt.Errorf("cannot read the job: %w", out.err)
		return out
	}
	opt := &jobfile.Options{Region: c.region}
	f, err := jobfile.Parse(out.file, text, opt)
	if err != nil {
		out.err = err
		return out
	}
	out.title, out.region = f.Title, f.Region
	count, spec := c.q.count, f.Wiring
	switch {
	case f.HasWiring() && f.Wiring.Installed != 0:
		out.standing = fmt.Sprintf("it describes an installation of %d that stands; there is nothing to buy for it", f.Wiring.Installed)
		return out
	case f.HasWiring():
	case len(f.Intent.Controls)+len(f.Intent.Needs) == 0:
		out.err = fmt.Errorf("%s: the file says neither how it is wired nor what is wanted; add controls and runs, or cables, devices, splices and landings", out.file)
		return out
	default:
		p, err := c.plan(ctx, f)
		if err != nil {
			out.err = jobfile.Explain(out.file, text, err, opt)
			return out
		}
		if !p.Status.OK() {
			out.err = infeasible(out.file, p)
			return out
		}
		out.planned, spec, out.notes = true, p.Spec, planNotes(p)
		count.InPlace = packet.InPlace(f.Intent, p)
	}
	w, err := wiring.New(spec)
	if err == nil {
		out.takeOff, err = packet.NewTakeOff(w, f.Region, &count)
	}
	if err != nil {
		out.err = fmt.Errorf("%s: %w", out.file, err)
		return out
	}
	out.notes = append(out.notes, out.takeOff.Notes...)
	return out
}

// infeasible says why a job cannot be wired.
func infeasible(file string, p *plan.Plan) error {
	var b strings.Builder
	how := "this cannot be wired as it is wanted"
	if p.Status == plan.NoneFound {
		how = "no way was found to wire this as it is wanted"
	}
	fmt.Fprintf(&b, "%s: %s:", file, how)
	const most = 5
	for _, l := range p.Lacks[:min(len(p.Lacks), most)] {
		b.WriteString("\n  " + l.Why)
	}
	if n := len(p.Lacks); n > most {
		fmt.Fprintf(&b, "\n  and so for %d runs more", n-most)
	}
	for _, n := range p.Notes {
		b.WriteString("\n  " + n)
	}
	fmt.Fprintf(&b, "\nWhat would help: go run ./examples/plan -job %s", file)
	return errors.New(b.String())
}

// planNotes are what an estimator must know of a plan.
func planNotes(p *plan.Plan) []string {
	var out []string
	if p.Status != plan.Optimal {
		out = append(out, "The plan is the best that was found; there may be one with less cable.")
	}
	for _, b := range p.Full {
		say := "none of the region's stock would do"
		if len(b.Fits) > 0 {
			say = "the smallest of the region's stock that would do: " + b.Fits[0]
		}
		out = append(out, fmt.Sprintf("Box %s is too small for what is planned in it, %s for %s; %s.", b.Box, b.Available, b.Required, say))
	}
	return append(out, p.Notes...)
}

package program

import (
	"fmt"
	"io"
	"os"
	"strings"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// Regions returns the ids of the regions there are, as text for a person.
func Regions() string {
	var ids []string
	for _, info := range rules.Regions() {
		ids = append(ids, info.ID)
	}
	return strings.Join(ids, ", ")
}

// Region returns the rules of a region, with the rule file named by amend laid over
// them unless that is empty.
func Region(id, amend string) (*rules.Region, error) {
	var overlays []rules.Overlay
	if amend != "" {
		text, err := os.ReadFile(amend)
		if err != nil {
			return nil, fmt.Errorf("cannot read the amendments: %w", err)
		}
		overlays = append(overlays, rules.Overlay{Name: amend, Text: text})
	}
	return rules.Load(id, overlays...)
}

// A Job is a job file with the text it was read from.
type Job struct {
	*job.File
	Text []byte

	options *job.Options
}

// Explain puts problems that were found in the job after it was read with their lines
// and columns; see [job.Explain].
func (j *Job) Explain(err error) error { return job.Explain(j.Name, j.Text, err, j.options) }

// WithWiring returns the file with a wiring in it; see [job.WithWiring].
func (j *Job) WithWiring(w wiring.Spec) ([]byte, error) {
	return job.WithWiring(j.Name, j.Text, w, j.options)
}

// ReadJob reads a job file, or the boat shed that is built in, which says what is
// wanted, if name is empty. Amend is that of [Region].
func ReadJob(name, amend string) (*Job, error) {
	return read(name, amend, demo.ShedName, demo.Shed, nil)
}

// ReadRequest is ReadJob for a job that is to be planned, if it has no wiring or always:
// what is wrong with it is told together with what the planner would complain of.
func ReadRequest(name, amend string, always bool) (*Job, error) {
	return read(name, amend, demo.ShedName, demo.Shed, func(f *job.File) error {
		if f.HasWiring() && !always {
			return nil
		}
		return plan.Check(f.Intent, f.Region)
	})
}

func read(name, amend, builtInName string, builtIn func() []byte, judge func(*job.File) error) (*Job, error) {
	j := &Job{options: &job.Options{Region: func(id string) (*rules.Region, error) { return Region(id, amend) }, Judge: judge}}
	var err error
	if name == "" {
		name, j.Text = builtInName, builtIn()
	} else if j.Text, err = os.ReadFile(name); err != nil {
		return nil, fmt.Errorf("cannot read the job: %w", err)
	}
	if j.File, err = job.Parse(name, j.Text, j.options); err != nil {
		return nil, err
	}
	return j, nil
}

// WiredJob reads a job file with a wiring, or the boat shed as it is wired, which is
// built in, if name is empty. A file without a wiring is an error.
func WiredJob(name, amend string) (*Job, *wiring.Wiring, error) {
	j, err := read(name, amend, demo.ShedWiredName, demo.ShedWired, nil)
	if err != nil {
		return nil, nil, err
	}
	if !j.HasWiring() {
		return nil, nil, fmt.Errorf("%s: the file says what is wanted but not how it is wired; add cables, devices, splices and landings, or have them planned:\n  go run ./examples/plan -job %s -o PLANNED", j.Name, j.Name)
	}
	w, err := wiring.New(j.Wiring)
	if err != nil {
		return nil, nil, err
	}
	return j, w, nil
}

// Rules says whose rules an answer was found by, in the shape of its JSON.
type Rules struct {
	ID       string   `json:"id"`
	Title    string   `json:"title"`
	Amended  []string `json:"amended,omitempty"`
	Cautions []string `json:"cautions"`
}

// RulesOf returns the rules of a region.
func RulesOf(r *rules.Region) Rules { return Rules{r.ID, r.Title, r.Amendments, r.Cautions} }

// Write prints the rules as a line and, where cautions is true, what the region's
// file cautions about below it.
func (r *Rules) Write(w io.Writer, cautions bool) error {
	text := "Rules: " + r.Title
	for _, name := range r.Amended {
		text += ", amended by " + name
	}
	text += "\n"
	if cautions {
		for _, c := range r.Cautions {
			text += "  " + c + "\n"
		}
	}
	_, err := io.WriteString(w, text)
	return err
}

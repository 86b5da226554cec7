package program

import (
	"fmt"
	"io"
	"os"
	"strings"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/job"
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

// Job reads a job file, or the boat shed that is built in if name is empty. Amend is
// that of [Region].
func Job(name, amend string) (*job.File, error) {
	src := demo.Shed()
	if name == "" {
		name = demo.ShedName
	} else {
		var err error
		if src, err = os.ReadFile(name); err != nil {
			return nil, fmt.Errorf("cannot read the job: %w", err)
		}
	}
	return job.Parse(name, src, &job.Options{Region: func(id string) (*rules.Region, error) { return Region(id, amend) }})
}

// WiredJob is [Job], and the wiring that the file describes; a file without one is
// an error.
func WiredJob(name, amend string) (*job.File, *wiring.Wiring, error) {
	file, err := Job(name, amend)
	if err != nil {
		return nil, nil, err
	}
	if !file.HasWiring() {
		return nil, nil, fmt.Errorf("%s: the file says what is wanted but not how it is wired; add cables, devices, splices and landings", file.Name)
	}
	w, err := wiring.New(file.Wiring)
	if err != nil {
		return nil, nil, err
	}
	return file, w, nil
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

package packet

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// Input is what a packet is made from.
type Input struct {
	Title  string
	Intent intent.Intent // its controls are what the lights are meant to do
	Wiring *wiring.Wiring
	Region *rules.Region
	// TakeOff says how to count the material; nil means the defaults.
	TakeOff *TakeOffOptions
	// Notes are what the reader must know of where the wiring comes from, in
	// sentences.
	Notes []string
	// Proving asks for the findings, the ring-out list, the energizing checklist and the
	// proving walks, which take a second on
	// jobs of some size.
	Proving bool
}

// Build makes the document. It returns an error if the input lacks its wiring or its
// region, if the options of its take-off are wrong, or if ctx ends; what cannot be
// counted or sized is said in the document, in its place.
func Build(ctx context.Context, in Input) (*Document, error) {
	if in.Wiring.Check() != nil || in.Region == nil {
		return nil, errors.New("packet: a wiring and the rules of a region are needed")
	}
	d := &Document{
		Format:   FormatVersion,
		Title:    in.Title,
		Region:   Region{in.Region.ID, in.Region.Title, in.Region.Source, append([]string{}, in.Region.Cautions...)},
		Cautions: cautions.Work(),
		Notes:    slices.Clone(in.Notes),
	}
	material, err := NewTakeOff(in.Wiring, in.Region, in.TakeOff)
	if err != nil {
		return nil, fmt.Errorf("packet: %w", err)
	}
	d.TakeOff = *material
	s := newSheets(in.Wiring, in.Region)
	found := s.circuits()
	s.breakers(found)
	d.Cables = s.cables()
	d.Boxes = []Box{}
	for i := range s.spec.Boxes {
		d.Boxes = append(d.Boxes, s.box(&s.spec.Boxes[i]))
	}
	if d.Controls, d.Shorts, err = s.prove(ctx, in.Intent.Controls); err != nil {
		return nil, err
	}
	if d.Circuits, err = s.sizes(found); err != nil {
		return nil, err
	}
	if in.Proving {
		if d.Proving, err = s.proving(ctx, in.Intent.Controls); err != nil {
			return nil, err
		}
		v := &page{Document: d, s: s}
		v.energize()
		d.Proving.Energizing = append(d.Proving.Energizing, v.Circuit...)
		d.Proving.Findings, d.Proving.Doubts, d.Proving.NotAsked, d.Proving.FindingsProblem = findings(ctx, in)
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
	return d, nil
}

// errNoDocument refuses to write what nobody built.
var errNoDocument = errors.New("packet: there is no document to write; Build makes one")

// WriteJSON writes the document as indented JSON.
func WriteJSON(w io.Writer, d *Document) error {
	if d == nil {
		return errNoDocument
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(d)
}

// A File is one file of a packet.
type File struct {
	Name string
	Data []byte
}

// Files returns the packet as files: "packet.txt" and "packet.json" with all of it,
// "take-off.csv" and "cables.csv" for spreadsheets, and one text with the sheet of
// each box, to leave in the box, named "box-NAME.txt" after the box, letters and
// digits kept and everything else made a hyphen; where two names would differ in
// capitals alone or not at all, the later one gets a number. Every box sheet begins
// with the cautions.
func Files(d *Document) ([]File, error) {
	if d == nil {
		return nil, errNoDocument
	}
	var files []File
	for _, whole := range []struct {
		name  string
		write func(io.Writer, *Document) error
	}{{"packet.txt", WriteText}, {"packet.json", WriteJSON}, {"take-off.csv", WriteTakeOffCSV}, {"cables.csv", WriteCablesCSV}} {
		var b bytes.Buffer
		if err := whole.write(&b, d); err != nil {
			return nil, err
		}
		files = append(files, File{whole.name, b.Bytes()})
	}
	taken := map[string]bool{}
	for i := range d.Boxes {
		var b strings.Builder
		if err := WriteBox(&b, d, i); err != nil {
			return nil, err
		}
		name := "box-" + plainName(d.Boxes[i].Name)
		for n := 2; taken[strings.ToLower(name)]; n++ {
			name = fmt.Sprintf("box-%s-%d", plainName(d.Boxes[i].Name), n)
		}
		taken[strings.ToLower(name)] = true
		files = append(files, File{name + ".txt", []byte(b.String())})
	}
	return files, nil
}

// WriteBox writes the sheet of one box, numbered from 0, with the cautions.
func WriteBox(w io.Writer, d *Document, box int) error {
	if d == nil {
		return errNoDocument
	}
	if box < 0 || box >= len(d.Boxes) {
		return fmt.Errorf("packet: there is no box %d; the document has %d", box, len(d.Boxes))
	}
	p := newPrinter(w)
	p.line("%s", d.Title)
	p.cautions(d)
	p.box(d, box)
	return p.flush()
}

// plainName makes a name fit for a file on any system.
func plainName(name string) string {
	out := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, name)
	return out[:min(len(out), 80)]
}

package lab

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.com/switchleg/switchnet/draw"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// made is an exercise of this package.
type made struct {
	sheet    Sheet
	draw     func() (Sheet, error) // makes the sheet, once the difficulty is as wanted
	measured Difficulty
	key      Answer
	practice func() *Practice // nil for none
	mark     func(Answer) Result
}

func (m *made) Sheet() Sheet {
	s := m.sheet
	s.Blocks, s.Job, s.Fields = slices.Clone(s.Blocks), slices.Clone(s.Job), slices.Clone(s.Fields)
	return s
}

func (m *made) Difficulty() Difficulty { return m.measured }

func (m *made) Practice() *Practice {
	if m.practice == nil {
		return nil
	}
	return m.practice()
}

func (m *made) Mark(a Answer) Result { return m.mark(a) }

func (m *made) Key() Answer { return maps.Clone(m.key) }

// errAgain says that what was drawn is no exercise of the kind, and another may be.
var errAgain = errors.New("lab: drawn again")

// tries is how many exercises are drawn on one job before another is drawn.
const tries = 10

// attempts is how many exercises are made in search of one within a band.
const attempts = 100

// find makes exercises until one lies within the band.
func find(ctx context.Context, name string, base Base, seed Seed, want Band, try func(*Job, Seed) (*made, error)) (Exercise, error) {
	var nearest Difficulty
	most, off := 0, -1
	for n := range attempts {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		s := seed.Derive(name, fmt.Sprint(n))
		j, err := base.Draw(ctx, s)
		if err != nil {
			return nil, err
		}
		x, err := try(j, s)
		if errors.Is(err, errAgain) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if want.Has(x.measured) {
			switch x.sheet, err = x.draw(); {
			case errors.Is(err, errAgain):
				continue
			case err != nil:
				return nil, err
			}
			if err := x.sheet.Check(); err != nil {
				return nil, &BaseError{Task: name, Lacks: "has names that a sheet cannot tell apart: " + err.Error()}
			}
			x.draw = nil
			return x, nil
		}
		most++
		if d := want.off(x.measured); off < 0 || d < off {
			off, nearest = d, x.measured
		}
	}
	if off < 0 {
		return nil, &BaseError{Task: name, Lacks: fmt.Sprintf("gave none in %d draws: it has too little for it", attempts)}
	}
	return nil, &BandError{Task: name, Want: want, Tried: most, Nearest: nearest}
}

// score gives the marks for fields that are right or wrong each by itself: why returns
// why an answer is wrong, or nothing if it is right.
func score(fields []Field, a Answer, why func(f Field, answer string) string) Result {
	var r Result
	for _, f := range fields {
		r.Of += f.Points
		text, ok := a[f.ID]
		w := ""
		switch {
		case !ok || plain(text) == "":
			w = "It is not answered."
		case f.Choices != nil:
			if c, ok := f.Choice(text); ok {
				w = why(f, c)
			} else {
				w = fmt.Sprintf("%s is none of the choices.", quoted(text))
			}
		default:
			w = why(f, text)
		}
		if w != "" {
			r.Lost = append(r.Lost, Loss{f.ID, f.Points, w})
			continue
		}
		r.Points += f.Points
	}
	return r
}

// quoted returns the beginning of an answer between quotation marks.
func quoted(s string) string {
	if len(s) > 40 {
		s = strings.ToValidUTF8(s[:40], "") + "..."
	}
	return fmt.Sprintf("%q", s)
}

// ganged returns how many boxes hold two devices or more.
func ganged(w *wiring.Wiring) int {
	n := map[string]int{}
	for _, d := range w.Spec().Devices {
		n[d.Box]++
	}
	out := 0
	for _, k := range n {
		if k > 1 {
			out++
		}
	}
	return out
}

// drawn returns the sheet of a wiring: text first, then the run plan and the boxes that
// are named, then what is asked.
func (j *Job) drawn(task, title string, fields []Field, in intent.Intent, w *wiring.Wiring, boxes []string, before []Block, after ...Block) (Sheet, error) {
	src, err := j.sheetJob(j.Title, in, w.Spec())
	if err != nil {
		return Sheet{}, err
	}
	plan, err := runPicture(j, w)
	if err != nil {
		return Sheet{}, err
	}
	pictures, err := boxPictures(j, w, boxes)
	if err != nil {
		return Sheet{}, err
	}
	blocks := append(append(slices.Clone(before), plan), pictures...)
	return NewSheet(task, title, src, fields, append(blocks, after...)...), nil
}

// boxPictures draws boxes.
func boxPictures(j *Job, w *wiring.Wiring, boxes []string) ([]Block, error) {
	d := draw.New(w)
	var out []Block
	for _, b := range boxes {
		p, err := d.Box(b, &draw.Options{Width: draw.Phone, Words: j.Region.Wiring.Terms.Speaker(), Scheme: draw.Light})
		if err != nil {
			return nil, fmt.Errorf("lab: %w", err)
		}
		out = append(out, picture(p))
	}
	return out, nil
}

// runPicture draws the run plan.
func runPicture(j *Job, w *wiring.Wiring) (Block, error) {
	p, err := draw.New(w).Runs(&draw.Options{Width: draw.Phone, Words: j.Region.Wiring.Terms.Speaker(), Scheme: draw.Light})
	if err != nil {
		return nil, fmt.Errorf("lab: %w", err)
	}
	return picture(p), nil
}

func picture(p *draw.Picture) Block {
	var b bytes.Buffer
	_, _ = p.WriteTo(&b) // a buffer takes everything
	return Picture{Title: p.Title(), Alt: p.Description(), SVG: b.Bytes()}
}

package identify

import (
	"bytes"
	"encoding/json"
	"fmt"
)

// observations are the words for the sorts of observation in JSON.
var observations = []struct {
	word string
	read func(json.RawMessage) (Observation, error)
}{
	{"same cable", decode[SameCable]},
	{"goes to", decode[GoesTo]},
	{"in box", decode[InBox]},
	{"obeys", decode[Obeys]},
	{"continuity", decode[Continuity]},
	{"reference", decode[Reference]},
	{"reading", decode[Reading]},
	{"tripped", decode[Tripped]},
}

func decode[T Observation](raw json.RawMessage) (Observation, error) {
	var o T
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	err := d.Decode(&o)
	return o, err
}

func wordOf(o Observation) string {
	switch o.(type) {
	case SameCable:
		return "same cable"
	case GoesTo:
		return "goes to"
	case InBox:
		return "in box"
	case Obeys:
		return "obeys"
	case Continuity:
		return "continuity"
	case Reference:
		return "reference"
	case Reading:
		return "reading"
	case Tripped:
		return "tripped"
	}
	return ""
}

// entryText is an Entry in JSON.
type entryText struct {
	Action     *Action         `json:"action,omitempty"`
	Observed   string          `json:"observed,omitempty"`
	As         json.RawMessage `json:"as,omitempty"`
	Confidence string          `json:"confidence,omitempty"`
	Earlier    bool            `json:"earlier,omitempty"`
}

// MarshalJSON writes the entry: an action, or what sort of thing was observed and it.
func (e Entry) MarshalJSON() ([]byte, error) {
	t := entryText{Action: e.Action, Earlier: e.Earlier}
	if e.Confidence != 0 {
		t.Confidence = e.Confidence.String()
	}
	if e.Of != nil {
		raw, err := json.Marshal(e.Of)
		if err != nil {
			return nil, err
		}
		t.Observed, t.As = wordOf(e.Of), raw
	}
	return json.Marshal(t)
}

// UnmarshalJSON reads what MarshalJSON writes. Unknown fields and words are errors; on an
// error e is unchanged.
func (e *Entry) UnmarshalJSON(data []byte) error {
	var t entryText
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&t); err != nil {
		return err
	}
	out := Entry{Action: t.Action, Earlier: t.Earlier}
	if t.Confidence != "" {
		if err := out.Confidence.UnmarshalText([]byte(t.Confidence)); err != nil {
			return err
		}
	}
	if (t.Action == nil) == (t.Observed == "") {
		return fmt.Errorf("identify: an entry is one of an action and an observation")
	}
	if t.Observed != "" {
		words := make([]string, 0, len(observations))
		for _, o := range observations {
			words = append(words, o.word)
			if o.word != t.Observed {
				continue
			}
			of, err := o.read(t.As)
			if err != nil {
				return fmt.Errorf("identify: observed %q: %w", o.word, err)
			}
			out.Of = of
		}
		if out.Of == nil {
			return fmt.Errorf("identify: %q is no sort of observation; expected one of %q", t.Observed, words)
		}
	}
	*e = out
	return nil
}

// Resume returns a session with the entries of a log, which must be taken without error
// one after the other; the error names the entry that is not, counted from 1.
func (c *Case) Resume(log []Entry) (*Session, error) {
	s := c.Session()
	for i, e := range log {
		if err := s.Enter(e); err != nil {
			return nil, fmt.Errorf("identify: entry %d (%v): %w", i+1, e, err)
		}
	}
	return s, nil
}

package check

import (
	"encoding/json"
	"fmt"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// What a finding is in JSON. The names and the words are stable; "message", "says" and
// "does" are text for reading.
type (
	findingJSON struct {
		Code     Code              `json:"code"`
		Place    placeJSON         `json:"place"`
		About    *refJSON          `json:"about,omitempty"`
		Related  []placeJSON       `json:"related,omitempty"`
		Message  string            `json:"message"`
		Section  *conductor.Source `json:"section,omitempty"`
		Standing Standing          `json:"standing"`
		Witness  []witnessJSON     `json:"witness,omitempty"`
		Fixes    []fixJSON         `json:"fixes,omitempty"`
		ByHand   bool              `json:"by_hand,omitempty"`
	}
	placeJSON struct {
		List      string `json:"list,omitempty"` // the entry of the job: its list, and its number from 0
		Index     int    `json:"index"`
		Box       string `json:"box,omitempty"`
		Device    string `json:"device,omitempty"`
		Terminal  string `json:"terminal,omitempty"`
		Cable     string `json:"cable,omitempty"`
		Conductor string `json:"conductor,omitempty"`
	}
	refJSON struct {
		Box  string `json:"box"`
		Name string `json:"name"`
	}
	witnessJSON struct {
		Positions []positionJSON `json:"positions"` // of every device with more than one, in name order; of breakers, those that are off
		Says      string         `json:"says"`
	}
	positionJSON struct {
		Box      string `json:"box"`
		Device   string `json:"device"`
		Position string `json:"position"`
	}
	fixJSON struct {
		Does  string     `json:"does"`
		Edits []editJSON `json:"edits"`
	}
	// editJSON is one edit. Each kind of edit has those of the fields that it needs;
	// wires and terminals are named by their parts.
	editJSON struct {
		Edit     string            `json:"edit"`
		Box      string            `json:"box,omitempty"`
		Device   string            `json:"device,omitempty"`
		Terminal string            `json:"terminal,omitempty"`
		Cable    string            `json:"cable,omitempty"`
		Type     string            `json:"type,omitempty"`
		Wire     *wireJSON         `json:"wire,omitempty"`
		Joints   []jointJSON       `json:"joints,omitempty"`
		As       string            `json:"as,omitempty"`
		Kind     string            `json:"kind,omitempty"`
		Rename   map[string]string `json:"rename,omitempty"`
	}
	wireJSON struct {
		Cable     string `json:"cable"`
		Conductor string `json:"conductor"`
	}
	jointJSON struct {
		Wire     *wireJSON `json:"wire,omitempty"`
		Device   string    `json:"device,omitempty"`
		Terminal string    `json:"terminal,omitempty"`
	}
)

// MarshalJSON writes the finding as an object: code, place, about, related, message, section,
// standing, witness and fixes. A place has the names that [Place] has; a witness the
// positions of all devices that move, and of breakers that are off; a fix its edits, each with the word of its kind
// ("exchange terminals", "land", "splice", ...) and the things it is about. What is
// absent is left out. Codes, names and words are stable; message, says and does are not.
func (f Finding) MarshalJSON() ([]byte, error) {
	out := findingJSON{Code: f.Code, Place: f.Place.json(), Message: f.Message, Standing: f.Standing, ByHand: f.ByHand}
	if f.About != (switchnet.Ref{}) {
		out.About = &refJSON{f.About.Place, f.About.Name}
	}
	for _, r := range f.Related {
		out.Related = append(out.Related, r.json())
	}
	if !f.Section.Absent() {
		out.Section = &f.Section
	}
	for _, w := range f.Witness {
		v := witnessJSON{Positions: []positionJSON{}, Says: w.Says}
		for r, position := range w.State.Positions() {
			if d, ok := w.State.Net().Device(r); ok && len(d.Kind.Positions) > 1 && (!d.Kind.Breaker || position != d.Kind.Positions[0].Name) {
				v.Positions = append(v.Positions, positionJSON{r.Place, r.Name, position})
			}
		}
		out.Witness = append(out.Witness, v)
	}
	for _, x := range f.Fixes {
		v := fixJSON{Does: x.Does}
		for _, e := range x.Edits {
			j, err := editOf(e)
			if err != nil {
				return nil, err
			}
			v.Edits = append(v.Edits, j)
		}
		out.Fixes = append(out.Fixes, v)
	}
	return json.Marshal(out)
}

func (p Place) json() placeJSON {
	return placeJSON{p.At.List, p.At.Index, p.Box, p.Device, p.Terminal, p.Cable, p.Conductor}
}

func editOf(e wiring.Edit) (editJSON, error) {
	switch e := e.(type) {
	case wiring.MoveLanding:
		return editJSON{Edit: "land", Box: e.End.Box, Wire: wireOf(e.End.Wire), Device: e.Device, Terminal: e.Terminal}, nil
	case wiring.SwapWires:
		return editJSON{Edit: "exchange wires", Box: e.Box, Joints: jointsOf(wiring.Joint{Wire: e.A}, wiring.Joint{Wire: e.B})}, nil
	case wiring.SwapLandings:
		return editJSON{Edit: "exchange landings", Box: e.Box, Joints: jointsOf(wiring.Joint{Wire: e.A}, wiring.Joint{Wire: e.B})}, nil
	case wiring.SwapTerminals:
		return editJSON{Edit: "exchange terminals", Box: e.Box, Joints: jointsOf(e.A, e.B)}, nil
	case wiring.MovePigtail:
		return editJSON{Edit: "move pigtail", Box: e.Box, Joints: jointsOf(e.From, e.To)}, nil
	case wiring.ClearTerminal:
		return editJSON{Edit: "clear terminal", Box: e.Of.Place, Device: e.Of.Name, Terminal: e.Terminal}, nil
	case wiring.JoinSplice:
		return editJSON{Edit: "splice", Box: e.Box, Joints: jointsOf(e.Join...)}, nil
	case wiring.SplitSplice:
		return editJSON{Edit: "split splice", Box: e.Box, Joints: jointsOf(e.Out...)}, nil
	case wiring.CapEnd:
		return editJSON{Edit: "cap", Box: e.End.Box, Wire: wireOf(e.End.Wire)}, nil
	case wiring.Release:
		return editJSON{Edit: "release", Box: e.End.Box, Wire: wireOf(e.End.Wire)}, nil
	case wiring.Remark:
		return editJSON{Edit: "re-mark", Box: e.End.Box, Wire: wireOf(e.End.Wire), As: colourWord(e.As)}, nil
	case wiring.Cut:
		return editJSON{Edit: "cut", Wire: wireOf(e.Wire)}, nil
	case wiring.Mend:
		return editJSON{Edit: "mend", Wire: wireOf(e.Wire)}, nil
	case wiring.TieJoints:
		return editJSON{Edit: "tie", Box: e.Box, Joints: jointsOf(e.A, e.B)}, nil
	case wiring.Untie:
		return editJSON{Edit: "part", Box: e.Box, Joints: jointsOf(e.A, e.B)}, nil
	case wiring.ReplaceDevice:
		return editJSON{Edit: "replace device", Box: e.Device.Place, Device: e.Device.Name, Kind: e.Kind.Name, Rename: e.Rename}, nil
	case wiring.ChangeCable:
		return editJSON{Edit: "change cable", Cable: e.Name, Type: e.Type.Name}, nil
	}
	return editJSON{}, fmt.Errorf("check: an edit of type %T has no word", e)
}

func colourWord(c conductor.Colour) string {
	if !c.Valid() {
		return ""
	}
	return c.String()
}

func wireOf(w wiring.Wire) *wireJSON { return &wireJSON{w.Cable, w.Conductor} }

func jointsOf(joints ...wiring.Joint) []jointJSON {
	out := make([]jointJSON, len(joints))
	for i, j := range joints {
		if j.Device != "" {
			out[i] = jointJSON{Device: j.Device, Terminal: j.Terminal}
		} else {
			out[i] = jointJSON{Wire: wireOf(j.Wire)}
		}
	}
	return out
}

package identify

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// A Do is something that is done in a session, as opposed to observed. The zero Do is
// unset.
type Do uint8

// What is done.
const (
	LockOut     Do = iota + 1 // every circuit of the boxes off, locked and tagged
	ProveDead                 // a box, with a tester proven before and after
	TakeOff                   // the devices of a box, the splices left as they are
	TakeApart                 // every conductor of a box, each end capped
	Energize                  // ends capped, boxes covered, locks off, breakers on
	FindBrittle               // insulation that is brittle, or of rubber
	PartEnds                  // what was twisted together for a test, each end capped
	TakeLeads                 // every test lead off, the long one too
)

var doWords = [...]string{"", "lock out", "prove dead", "take off devices", "take apart", "energize", "find brittle insulation", "part ends", "take leads off"}

// String returns the words.
func (d Do) String() string { return enum.Word(doWords[:], d, "Do") }

// MarshalText writes the words; an unset value is an error.
func (d Do) MarshalText() ([]byte, error) { return enum.Marshal("identify", doWords[:], d, "action") }

// UnmarshalText reads the words.
func (d *Do) UnmarshalText(text []byte) error {
	return enum.Unmarshal("identify", doWords[:], text, "action", d)
}

// An Action is something done, and in which box, for those that are done in one.
type Action struct {
	Do  Do
	Box string
}

// String returns the words.
func (a Action) String() string {
	if a.Box == "" {
		return a.Do.String()
	}
	return a.Do.String() + " in box " + a.Box
}

// An Entry is one line of what was done and observed: an Action, or an Observation.
type Entry struct {
	Action *Action
	Of     Observation
	// Confidence is how likely it is that the observation is right; 0 means all of it. At
	// less, a possibility that it speaks against is kept and becomes less likely.
	Confidence quantity.Ratio
	// Earlier says of an observation that it was made before the session began, so that
	// the rules of the session did not bind whoever did. No reading counts without its
	// reference all the same.
	Earlier bool
}

// String returns the words.
func (e Entry) String() string {
	switch {
	case e.Action != nil:
		return e.Action.String()
	case e.Of == nil:
		return "nothing"
	case e.Confidence > 0 && e.Confidence < quantity.Whole:
		return fmt.Sprintf("%s (%s sure)", e.Of, e.Confidence)
	}
	return e.Of.String()
}

// remains is how many times less the observations may leave of a possibility than of the
// one of which they leave most, for it to count as remaining. How likely it was before
// does not enter.
const remains = 200

// A Session is the search for what is what: what was done and observed, and how likely
// everything has become. It keeps the rules that the package states, and refuses what
// breaks them. It is for one goroutine. Make one with [Case.Session].
type Session struct {
	c       *Case
	log     []Entry
	weight  []float64 // of each possibility
	credit  []float64 // what the observations that speak against it leave of it, however likely it was
	judges  []judge   // of each entry of the log; zero for an action
	dropped []Dropped
	views   map[string]*view

	where   string // the box
	stage   []Stage
	locked  bool
	dead    map[string]bool
	tied    [][2]wiring.End // what is twisted together
	lead    [2]string       // the boxes between which a long lead lies
	clip    string          // the point on which it was left in the box away from the person
	clipAt  string          // and the box of that
	leads   bool            // a test lead may be on a conductor
	tripped bool
	brittle string
	proven  map[string]bool               // references, since the last lock-out or energizing
	good    map[string]bool               // references that were ever proven
	asked   map[string]bool               // tests that were made
	ohms    map[string]heard[trace.Path]  // what the ohmmeter found last, by what it lay between
	volts   map[string]heard[Level]       // what a reading came to last, likewise
	hung    map[string][]func(i int) bool // what hung on something unknown, by how far the boxes are apart
}

// Session returns a new session, in which nothing is known but what the wiring says.
func (c *Case) Session() *Session {
	s := &Session{c: c, views: map[string]*view{}}
	s.reset()
	return s
}

// Case returns the case.
func (s *Session) Case() *Case { return s.c }

// Log returns what was done and observed, in order.
func (s *Session) Log() []Entry { return slices.Clone(s.log) }

// Stages returns how far each open box is taken apart, in name order.
func (s *Session) Stages() []BoxStage {
	out := make([]BoxStage, len(s.stage))
	for i, x := range s.stage {
		out[i] = BoxStage{s.c.sp.open[i], x}
	}
	return out
}

// A BoxStage is an open box and how far it is taken apart.
type BoxStage struct {
	Box   string
	Stage Stage
}

func (s *Session) reset() {
	n := len(s.c.all)
	if len(s.weight) != n {
		s.weight, s.credit = make([]float64, n), make([]float64, n)
	}
	for i := range s.weight {
		s.weight[i], s.credit[i] = s.c.all[i].share, 1
	}
	s.log, s.judges, s.dropped, s.where = nil, nil, nil, ""
	s.stage = slices.Clone(s.c.sp.stage)
	s.locked, s.tripped, s.brittle = false, false, ""
	s.tied, s.lead, s.clip, s.clipAt, s.leads = nil, [2]string{}, "", "", false
	s.ohms, s.volts, s.hung = map[string]heard[trace.Path]{}, map[string]heard[Level]{}, map[string][]func(int) bool{}
	s.dead, s.proven, s.good, s.asked = map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]bool{}
}

// Undo takes back the last entry, and does nothing if there is none.
func (s *Session) Undo() {
	if len(s.log) == 0 {
		return
	}
	s.replay(slices.Clone(s.log[:len(s.log)-1]))
}

// Stand says in which box the person is, to reckon the next steps from. It is no
// evidence. An empty box means nowhere in particular.
func (s *Session) Stand(box string) error {
	if _, ok := s.c.sp.box[box]; box != "" && !ok {
		return trace.Errors{{Where: "Stand", Detail: fmt.Sprintf("the job has no box %q", box)}}
	}
	s.where = box
	return nil
}

// Enter takes an entry of a log. What breaks a rule of the session, or names what the
// job has not, is an error; nothing is then noted.
func (s *Session) Enter(e Entry) error {
	switch {
	case e.Action != nil && e.Of == nil:
		return s.do(*e.Action)
	case e.Of != nil && e.Action == nil:
		return s.observe(e)
	}
	return trace.Errors{{Where: "Entry", Detail: "is not one of an action and an observation"}}
}

// Do takes note of an action, as Enter does.
func (s *Session) Do(do Do, box string) error { return s.do(Action{do, box}) }

// Observe takes an observation made in the session, as Enter does, with all confidence.
func (s *Session) Observe(o Observation) error { return s.observe(Entry{Of: o}) }

// Recall takes an observation made before the session, as Enter does.
func (s *Session) Recall(o Observation, confidence quantity.Ratio) error {
	return s.observe(Entry{Of: o, Confidence: confidence, Earlier: true})
}

func (s *Session) do(a Action) error {
	var errs trace.Errors
	if _, err := a.Do.MarshalText(); err != nil {
		add(&errs, "Action.Do", "is not said")
	}
	at, ok := slices.BinarySearch(s.c.sp.open, a.Box)
	switch a.Do {
	case LockOut, Energize, TakeLeads:
		if a.Box != "" {
			add(&errs, "Action.Box", "is %q; to %v is no matter of one box", a.Box, a.Do)
		}
	default:
		if !ok {
			add(&errs, "Action.Box", "%q is not an open box", a.Box)
		}
	}
	if len(errs) > 0 {
		return errs
	}
	if err := s.forbids(a); err != nil {
		return err
	}
	switch a.Do {
	case LockOut:
		s.locked = true
		clear(s.proven)
	case ProveDead:
		s.dead[a.Box] = true
	case TakeOff:
		s.stage[at] = max(s.stage[at], Released)
	case TakeApart:
		s.stage[at] = Parted
	case Energize:
		s.locked = false
		clear(s.dead)
		clear(s.proven)
	case FindBrittle:
		s.brittle = a.Box
	case TakeLeads:
		if s.clipAt != "" {
			s.where = s.clipAt
		}
		s.lead, s.clip, s.clipAt, s.leads = [2]string{}, "", "", false
	case PartEnds:
		s.tied = slices.DeleteFunc(slices.Clone(s.tied), func(t [2]wiring.End) bool { return t[0].Box == a.Box })
	}
	if ok {
		s.where = a.Box
	}
	s.log, s.judges = append(s.log, Entry{Action: &a}), append(s.judges, judge{})
	return nil
}

func (s *Session) observe(e Entry) error {
	var errs trace.Errors
	if e.Confidence < 0 || e.Confidence > quantity.Whole {
		add(&errs, "Entry.Confidence", "is %s; it lies between 0 %% and 100 %%", e.Confidence)
	}
	j := e.Of.compile(s, &errs)
	if len(errs) > 0 {
		return errs
	}
	if err := s.refuses(e); err != nil {
		return err
	}
	s.drop(j)
	right := e.Confidence.Float64()
	if e.Confidence == 0 {
		right = 1
	}
	top := 0.0
	for i := range s.weight {
		if s.weight[i] == 0 && s.credit[i] == 0 {
			continue
		}
		likely := j.likely(i)
		l := right*likely + (1-right)*j.chance
		s.weight[i] *= l
		// What may come out in several ways speaks against none of them.
		if likely > 0 {
			s.credit[i] *= right + (1-right)*j.chance
		} else {
			s.credit[i] *= l
		}
		top = max(top, s.credit[i])
	}
	if top > 0 {
		// What remains of most is all of it, so that no long log fades to nothing.
		sum := 0.0
		for i := range s.credit {
			s.credit[i] /= top
			sum += s.weight[i]
		}
		for i := range s.weight {
			s.weight[i] /= sum
		}
	}
	switch o := e.Of.(type) {
	case Tripped:
		s.tripped = true
	case Continuity:
		hear(s, s.ohms, between(o, s.stage), o.Found, j.loose)
		if !e.Earlier {
			s.tied, s.leads = o.Tied, true
			if l := leadOf(o.Between); l[0] != l[1] {
				s.lead, s.clip, s.clipAt = l, o.Between[0].String(), o.Between[0].Place
			}
		}
	case Reading:
		if !e.Earlier && len(o.Tied) > 0 {
			s.tied = o.Tied // it was made dead, and nothing is parted while it is live
		}
		if j.loose != nil {
			a, b, off := s.c.sp.probes(o, &errs)
			hear(s, s.volts, across(a, b, off, s.stage), o.Comes(s.c.nominal), j.loose)
		}
	case Reference:
		s.proven[o.Point.String()], s.good[o.Point.String()] = o.Shown, o.Shown
	}
	if box := place(e.Of); box != "" {
		s.where = box
	}
	s.asked[question(e.Of, s.stage)] = true
	s.log, s.judges = append(s.log, e), append(s.judges, j)
	return nil
}

// place returns the box in which an observation is made last.
func place(o Observation) string {
	switch o := o.(type) {
	case InBox:
		return o.Box
	case Continuity:
		return o.Between[1].Place
	case Reading:
		return o.Red.Place
	}
	return ""
}

// question says what an observation answers, whatever came out.
func question(o Observation, stage []Stage) string {
	switch o := o.(type) {
	case InBox:
		return "look " + o.Box
	case Obeys:
		return "obeys " + o.Control + " " + o.Box
	case SameCable:
		return "same " + o.A + " " + o.B
	case Continuity:
		a, b := o.Between[0].String(), o.Between[1].String()
		return fmt.Sprint("path ", min(a, b), " ", max(a, b), o.Tied, stage)
	case Reading:
		a, b := o.Red.String(), o.Black.String()
		return fmt.Sprint("volts ", min(a, b), " ", max(a, b), o.Off, o.Tied, stage)
	case Reference:
		return "reference " + o.Point.String()
	}
	return o.String()
}

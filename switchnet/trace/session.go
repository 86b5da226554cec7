package trace

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet"
)

// A Do is something that is done in a session, as opposed to observed. The zero Do is
// unset.
type Do uint8

// What is done.
const (
	LockOut      Do = iota + 1 // every circuit of the job off, locked and tagged
	ProveDead                  // a box, with a tester proven before and after
	LiftNeutrals               // every neutral off the bar of the panel
	CapNeutrals                // a cap on every lifted end
	LandNeutrals               // back on the bar
	Energize                   // covers closed, locks off, breakers on
	FindBrittle                // insulation that is brittle, or of rubber
	TakeLeads                  // every test lead off, at both ends
)

var doWords = [...]string{"", "lock out", "prove dead", "lift neutrals", "cap neutrals", "land neutrals", "energize", "find brittle insulation", "take leads off"}

// String returns the words.
func (d Do) String() string { return enum.Word(doWords[:], d, "Do") }

// MarshalText writes the words; an unset value is an error.
func (d Do) MarshalText() ([]byte, error) { return enum.Marshal("trace", doWords[:], d, "action") }

// UnmarshalText reads the words.
func (d *Do) UnmarshalText(text []byte) error {
	return enum.Unmarshal("trace", doWords[:], text, "action", d)
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

// An Entry is one line of what was done and observed: an Action, or a Report.
type Entry struct {
	Action *Action
	Report *Report
	// Earlier says of a report that it was observed before the session began, so that
	// the rules of the session did not bind whoever did.
	Earlier bool
}

// remains is how many times less the reports may leave of a possibility than of the one
// of which they leave most, for it to count as remaining. How likely it was before does
// not enter: what nothing speaks against remains.
const remains = 200

// A Session is the search for the cause: what was done and observed, and how likely
// everything has become. It keeps the rules that the package states, and refuses what
// breaks them. It is for one goroutine. Make one with [Case.Session].
type Session struct {
	c   *Case
	log []Entry
	// weight and credit of every class with every sense, senses fastest: how likely
	// it is; and what the reports that speak against it leave of it, however likely it
	// was before: 1 if none does.
	weight []float64
	credit []float64
	top    float64 // the most that is left of any
	alive  []int   // classes of which anything is left, in order
	facts  *cache

	at      int    // where the handles stand, as they are called
	where   string // the box
	locked  bool
	dead    map[string]bool // boxes proven dead since the lock-out
	lifted  bool
	capped  bool
	leads   bool // a test lead may be on a conductor
	tripped bool
	brittle string
	proven  map[int]bool // points that serve as references

	two *twoSearch // the search for two faults at once, as far as it has come
	// dread returns what else may make a setting a bolted fault, beside what remains; nil
	// where nothing else is reckoned with.
	dread func(x int) *Class
}

// Session returns a new session, in which nothing is known. Handles stand where the
// drawing has them at rest until [Session.Stand] or a report says otherwise.
func (c *Case) Session() *Session {
	s := &Session{c: c, facts: &cache{}}
	s.reset()
	return s
}

// Case returns the case.
func (s *Session) Case() *Case { return s.c }

// Log returns what was done and observed, in order.
func (s *Session) Log() []Entry { return slices.Clone(s.log) }

func (s *Session) reset() {
	senses := 1 << s.c.f.sp.bits
	n := len(s.c.classes) * senses
	if len(s.weight) != n {
		s.weight, s.credit = make([]float64, n), make([]float64, n)
	}
	for i := range s.c.classes {
		for k := range senses {
			s.weight[i*senses+k] = s.c.classes[i].share / float64(senses)
			s.credit[i*senses+k] = 1
		}
	}
	s.top = 1
	s.alive = make([]int, len(s.c.classes))
	for i := range s.alive {
		s.alive[i] = i
	}
	s.log = nil
	s.at, s.where = 0, ""
	s.locked, s.lifted, s.capped, s.leads, s.tripped, s.brittle = false, false, false, false, false, ""
	s.dead, s.proven = map[string]bool{}, map[int]bool{}
}

// Clone returns a session that is where this one is and goes on by itself.
func (s *Session) Clone() *Session {
	out := *s
	out.log = slices.Clone(s.log)
	out.weight = slices.Clone(s.weight)
	out.credit = slices.Clone(s.credit)
	out.facts = &cache{}
	out.two = nil
	out.dead = cloneMap(s.dead)
	out.proven = cloneMap(s.proven)
	return &out
}

func cloneMap[K comparable](m map[K]bool) map[K]bool {
	out := make(map[K]bool, len(m))
	for k, v := range m {
		out[k] = v
	}
	return out
}

// Undo takes back the last entry, and does nothing if there is none.
func (s *Session) Undo() {
	if len(s.log) == 0 {
		return
	}
	log := s.log[:len(s.log)-1]
	s.reset()
	for _, e := range log {
		// What was taken once is taken again.
		_ = s.Enter(e)
	}
}

// Stand says how the handles stand now and in which box the person is, to reckon the
// next steps from. It is no evidence. Switches that are left out stay as they are; an
// empty box means nowhere in particular.
func (s *Session) Stand(at Setting, box string) error {
	var errs Errors
	y := s.at
	for k, h := range at {
		if i, p, ok := s.c.f.sp.handle(&errs, fmt.Sprintf("Stand[%d]", k), h); ok {
			y = s.c.f.sp.put(y, i, p)
		}
	}
	if _, ok := s.c.travel.boxes[box]; box != "" && !ok {
		errs.add("Stand", "the job has no box %q", box)
	}
	if err := errs.or(); err != nil {
		return err
	}
	s.at, s.where = y, box
	return nil
}

// Handles returns how the handles stand, in name order.
func (s *Session) Handles() Setting { return s.c.f.sp.setting(s.at) }

// Enter takes an entry of a log: Do or Report, whichever it is.
func (s *Session) Enter(e Entry) error {
	switch {
	case e.Action != nil && e.Report == nil:
		return s.Do(*e.Action)
	case e.Report != nil && e.Action == nil:
		return s.report(*e.Report, e.Earlier)
	}
	return Errors{{"Entry", "is not one of an action and a report"}}
}

// Do takes note of an action. One that breaks a rule is an error, and so is an unknown
// box; nothing is then noted.
func (s *Session) Do(a Action) error {
	var errs Errors
	if _, err := a.Do.MarshalText(); err != nil {
		errs.add("Action.Do", "is not said")
	}
	if a.Do == ProveDead || a.Do == FindBrittle {
		if _, ok := s.c.travel.boxes[a.Box]; !ok {
			errs.add("Action.Box", "the job has no box %q", a.Box)
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
		s.where = a.Box
	case LiftNeutrals:
		s.lifted, s.capped = true, false
	case CapNeutrals:
		s.capped = true
	case LandNeutrals:
		s.lifted, s.capped = false, false
	case Energize:
		s.locked = false
		clear(s.dead)
		clear(s.proven)
	case FindBrittle:
		s.brittle = a.Box
	case TakeLeads:
		s.leads = false
	}
	s.log = append(s.log, Entry{Action: &a})
	return nil
}

// Report takes a report of something observed in the session. One that breaks a rule
// of the session, or names what the job has not, is an error; nothing then counts.
func (s *Session) Report(r Report) error { return s.report(r, false) }

// Recall takes a report of something observed before the session. The rules of the
// session did not bind it; but no reading counts without its reference.
func (s *Session) Recall(r Report) error { return s.report(r, true) }

func (s *Session) report(r Report, earlier bool) error {
	var errs Errors
	if r.Of == nil {
		return Errors{{"Report.Of", "is not set"}}
	}
	if r.Confidence < 0 || r.Confidence > quantity.Whole {
		errs.add("Report.Confidence", "is %s; it lies between 0 %% and 100 %%", r.Confidence)
	}
	e := r.Of.compile(s.c, &errs)
	if len(errs) > 0 {
		return errs
	}
	if err := s.refuses(r.Of, earlier); err != nil {
		return err
	}
	sure := float64(r.Confidence) / float64(quantity.Whole)
	if r.Confidence == 0 {
		sure = 1
	}
	if err := s.weigh(r.Of, e, sure); err != nil {
		return err
	}
	s.note(r.Of, earlier)
	s.log = append(s.log, Entry{Report: &r, Earlier: earlier})
	return nil
}

// note keeps track of where handles stand and what is proven.
func (s *Session) note(o Observation, earlier bool) {
	stand := func(at Setting) {
		var errs Errors
		if ys, whole := s.c.f.sp.meant(&errs, "", at); whole && len(ys) == 1 {
			s.at = ys[0]
		}
	}
	switch o := o.(type) {
	case Saw:
		stand(o.At)
		s.tripped = s.tripped || o.Tripped
	case Flipped:
		stand(o.From)
		var errs Errors
		if _, whole := s.c.f.sp.meant(&errs, "", o.From); whole {
			i, _ := s.c.f.sp.find(o.Switch)
			s.at = s.c.f.sp.moved(s.at, i)
		}
	case InUse:
		s.tripped = s.tripped || o.Tripped
	case Continuity:
		stand(o.At)
		s.leads = s.leads || !earlier
	case Reading:
		stand(o.At)
	case Reference:
		stand(o.At)
		p, _ := s.c.f.point(o.Point)
		if o.Shown {
			s.proven[p] = true
		} else {
			delete(s.proven, p)
		}
	}
}

// proves reports whether a point serves as a reference.
func (s *Session) proves(t switchnet.Terminal) bool {
	p, ok := s.c.f.point(t)
	return ok && s.proven[p]
}

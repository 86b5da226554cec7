package job

import (
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/strict"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// A File is a job as one file describes it.
type File struct {
	// Name is what the file was called when it was read.
	Name  string
	Title string
	// Rules is the id of the region whose rules the job is under.
	Rules string
	// Region is what Rules names. Parse fills it in.
	Region *rules.Region
	// Kinds are the device kinds that the file defines, in file order.
	Kinds []switchnet.Kind
	// Intent is what is wanted and Wiring is what is or will be there. After
	// Parse both hold the supply, feeds, boxes and lights of the file.
	Intent intent.Intent
	Wiring wiring.Spec

	lists map[string][]*strict.Node // entries, by list
}

// HasIntent reports whether there are runs, controls, needs, exemptions, stairs or a stock.
func (f *File) HasIntent() bool {
	in := &f.Intent
	return len(in.Runs)+len(in.Controls)+len(in.Needs)+len(in.Exemptions)+len(in.Stairs)+len(in.Stock) > 0
}

// HasWiring reports whether there is anything that only a wiring has: a cable, a
// device, a splice, a landing and so on.
func (f *File) HasWiring() bool {
	w := &f.Wiring
	return len(w.Devices)+len(w.Cables)+len(w.Splices)+len(w.Landings)+len(w.Caps)+
		len(w.Marks)+len(w.Tags)+len(w.Opens)+len(w.Ties) > 0
}

// Pos is a place in a file: fields Line and Column, both from 1, columns counted
// in runes.
type Pos = strict.Pos

// Position returns where the file says what ref points to; where it says nothing
// of it, the place of the whole entry. It returns false for a File that was not
// read, and for a ref to nothing in it.
func (f *File) Position(ref wiring.Ref) (Pos, bool) {
	n := find(f.lists, ref)
	if n == nil {
		return Pos{}, false
	}
	return n.Pos(), true
}

// Problem is one complaint about a file: where it is (File, Line, Column), what
// is wrong (Found, Expected), what to do (Fix), the line itself with the number of
// runes before the place (Excerpt, Caret), and the second place where two lines
// disagree (Other). Its JSON has these names in lower case. Error prints it as
// file:line:column with excerpt and caret.
type Problem = strict.Problem

// Errors are all problems of a file: List in file order, and More, how many there
// are beyond [Options.MaxProblems].
type Errors = strict.Errors

// Options says how to read. Nil, like the zero value, means the defaults.
type Options struct {
	// MaxBytes, MaxDepth, MaxEntries and MaxProblems limit the size of the file
	// (2,097,152 bytes), its nesting (64 levels), the entries of one outermost
	// bracketed collection (200,000) and the problems listed (50). Zero means
	// the figure in brackets.
	MaxBytes, MaxDepth, MaxEntries, MaxProblems int
	// Region returns the region that a file names, or an error that says which
	// there are; nil means those that come with package rules, as they are.
	// Reading one takes longer than reading a small job, so a program that
	// reads many may want to keep them.
	Region func(id string) (*rules.Region, error)
	// Judge, if it is not nil, is asked what else is wrong with a file of which every
	// list could be read, whether or not something is wrong with it already: its
	// [wiring.Problems] are reported with those that Parse finds, but for what is known
	// already. Entries that could not be read are in the file as far as they could be.
	// Any other error of it is reported at the top of the file.
	Judge func(f *File) error
}

func (o *Options) region(id string) (*rules.Region, error) {
	if o == nil || o.Region == nil {
		return rules.Load(id)
	}
	return o.Region(id)
}

func (o *Options) limits() strict.Options {
	if o == nil {
		return strict.Options{}
	}
	return strict.Options{MaxBytes: o.MaxBytes, MaxDepth: o.MaxDepth, MaxEntries: o.MaxEntries, MaxProblems: o.MaxProblems}
}

// Parse reads a job file, calling it name in messages. The error is an [*Errors]
// with everything that is wrong: what is no YAML of the accepted sort, unknown
// keys and words, values that do not fit, and everything that contradicts itself
// in the intent and in the wiring. Time and memory are linear in the size of the
// file but for sorting.
func Parse(name string, src []byte, opt *Options) (*File, error) {
	doc, err := strict.Parse(name, src, opt.limits())
	if err != nil {
		return nil, err
	}
	r := newReader(doc, opt)
	if r.version() {
		r.file()
		r.check()
	}
	if err := doc.Err(); err != nil {
		return nil, err
	}
	return r.out, nil
}

// Format returns the file in its canonical layout: keys in the order in which they
// were written, comments kept, no other text changed. Formatting the result
// changes nothing. What would not read back the same is an error, and so is a file
// that is no YAML of the accepted sort; a file with other mistakes is formatted
// with them. The layout of a file just below the limit on size may be above it, which
// is an error too.
func Format(name string, src []byte, opt *Options) ([]byte, error) {
	doc, err := strict.Parse(name, src, opt.limits())
	if err != nil {
		return nil, err
	}
	return doc.Format()
}

package rules

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/internal/strict"
)

//go:embed regions/*.yaml
var embedded embed.FS

const extension = ".yaml"

// shipped returns the rule files that come with the package.
func shipped() fs.FS {
	sub, err := fs.Sub(embedded, "regions")
	if err != nil { // not for a path that is constant and valid
		return embedded
	}
	return sub
}

// Overlay is a file of amendments that is laid upon a region: what it states
// takes the place of what the region states, key by key.
type Overlay struct {
	Name string // as messages call it, usually its file name
	Text []byte
}

// errNoFiles refuses a file system that is none.
var errNoFiles = errors.New("rules: there is no file system to read from; os.DirFS gives that of a folder")

// OverlayFile reads an overlay from a file system.
func OverlayFile(fsys fs.FS, name string) (Overlay, error) {
	if fsys == nil {
		return Overlay{}, errNoFiles
	}
	text, err := fs.ReadFile(fsys, name)
	if err != nil {
		return Overlay{}, fmt.Errorf("overlay: %w", err)
	}
	return Overlay{Name: name, Text: text}, nil
}

// Regions returns the regions that come with the package, by id.
func Regions() []Info { return RegionsFS(shipped()) }

// RegionsFS returns the regions whose files stand in the top directory of a
// file system, by id. Files that cannot be read as a region are left out;
// [LoadFS] says what is wrong with them.
func RegionsFS(fsys fs.FS) []Info {
	var list []Info
	for _, id := range ids(fsys) {
		f := open(fsys, id)
		if f.err() == nil && f.info.ID == id {
			list = append(list, f.info)
		}
	}
	return list
}

// Load returns a region that comes with the package, overlays applied in
// order. The errors are all there are, each with its place: [strict.Errors]
// for each file, joined. An unknown region is an error that lists the known.
//
// A region is read anew by every call and belongs to the caller; see the
// benchmark for what that costs (a few milliseconds).
func Load(id string, overlays ...Overlay) (*Region, error) {
	return LoadFS(shipped(), id, overlays...)
}

// LoadFS is Load for a region in the top directory of a file system, named by
// its id and '.yaml'. What it extends is looked for there first and then among
// the regions that come with the package.
func LoadFS(fsys fs.FS, id string, overlays ...Overlay) (*Region, error) {
	if fsys == nil {
		return nil, errNoFiles
	}
	known := ids(fsys)
	if !slices.Contains(known, id) {
		return nil, unknown("region", id, known)
	}
	return assemble(open(fsys, id), fsys, overlays)
}

// Parse is Load for the text of a region file, called name in messages.
func Parse(name string, text []byte, overlays ...Overlay) (*Region, error) {
	return assemble(parse(name, text), shipped(), overlays)
}

func unknown(what, id string, known []string) error {
	hint := ""
	if s := strict.DidYouMean(id, known); s != "" {
		hint = "; " + s
	}
	return problem("no %s %q; known are %s%s", what, id, strings.Join(known, ", "), hint)
}

func problem(format string, args ...any) error { return fmt.Errorf("rules: "+format, args...) }

// ids returns the ids of the region files of a file system, sorted.
func ids(fsys fs.FS) []string {
	if fsys == nil {
		return nil
	}
	var list []string
	files, err := fs.ReadDir(fsys, ".")
	if err != nil {
		return nil
	}
	for _, f := range files {
		if id, ok := strings.CutSuffix(f.Name(), extension); ok && !f.IsDir() {
			list = append(list, id)
		}
	}
	slices.Sort(list)
	return list
}

// file is one rule file or overlay: its heading, and the body to be joined
// with others before it is read.
type file struct {
	doc     *strict.Doc
	failure error // when there is no doc
	info    Info
	extends string
	forIDs  []string // regions an overlay is meant for; none: any
	cite    conductor.Source
	body    *strict.Node
}

func (f *file) err() error {
	if f.failure != nil {
		return f.failure
	}
	return f.doc.Err()
}

func open(fsys fs.FS, id string) *file {
	name := id + extension
	text, err := fs.ReadFile(fsys, name)
	if err != nil {
		return &file{failure: problem("region %s: %w", id, err)}
	}
	f := parse(name, text)
	if f.err() == nil && f.info.ID != id {
		return &file{failure: problem("the file %s has the id %q; name the file by its id, or give it the id %s", name, f.info.ID, id)}
	}
	return f
}

const formatVersion = "1"

// begin reads a file up to its heading's first key.
func begin(name string, text []byte, what string) (*file, *strict.Map) {
	doc, err := strict.Parse(name, text, strict.Options{})
	if err != nil {
		return &file{failure: err}, nil
	}
	f := &file{doc: doc}
	m := doc.Root().Map(what)
	if v := m.Need("format", "the version of this format: "+formatVersion); v != nil {
		v.OneOf("a version of this format", formatVersion)
	}
	return f, m
}

var (
	regionHeading  = []string{"format", "id", "title", "code", "edition", "source", "cautions", "extends"}
	overlayHeading = []string{"format", "name", "for", "section", "confidence", "edition", "cautions"}
)

// parse reads the heading of a region file.
func parse(name string, text []byte) *file {
	f, m := begin(name, text, "a region file")
	if f.failure != nil {
		return f
	}
	set(m, "id", "the id of the region, such as us-2023", parseID, &f.info.ID)
	for _, h := range []struct {
		key, what string
		field     *string
	}{
		{"title", "the region and edition in words", &f.info.Title},
		{"code", "the usual name of the code", &f.info.Code},
		{"edition", "the edition of the code", &f.info.Edition},
		{"source", "where the figures come from and how they were checked", &f.info.Source},
	} {
		set(m, h.key, h.what, plainText, h.field)
	}
	const cautions = "cautions: that local amendments prevail, and that the file is no substitute for the code or for licensed practice"
	f.info.Cautions = each(m.Need("cautions", cautions), "a caution", plainText)
	if n := m.Get("cautions"); n.Sound() && len(f.info.Cautions) == 0 {
		n.Report(strict.Report{Found: "no cautions", Expected: cautions})
	}
	setOptional(m, "extends", "the id of a region", parseID, &f.extends)
	f.body = f.doc.Root().Without(regionHeading...)
	return f
}

func parseID(text string) (string, error) {
	for _, c := range text {
		if (c < 'a' || c > 'z') && (c < '0' || c > '9') && c != '-' {
			return "", problem("%q is no id: write small letters, digits and dashes", text)
		}
	}
	if text == "" || len(text) > 64 {
		return "", problem("an id has 1 to 64 letters")
	}
	return text, nil
}

// parseOverlay reads the heading of an overlay.
func parseOverlay(o Overlay) *file {
	f, m := begin(o.Name, o.Text, "an overlay")
	if f.failure != nil {
		return f
	}
	f.cite.Confidence = conductor.HighConfidence // its writer answers for it
	set(m, "name", "the name of the amendments, such as Harbor Township 2024", plainText, &f.info.Title)
	f.cite.Section = f.info.Title
	f.forIDs = each(m.Get("for"), "the id of a region", parseID)
	optionalText(m, "section", "where the amendments stand", &f.cite.Section)
	optionalText(m, "edition", "the year or edition of the amendments", &f.cite.Edition)
	setOptional(m, "confidence", "high, medium or low", conductor.ParseConfidence, &f.cite.Confidence)
	f.info.Cautions = each(m.Get("cautions"), "a caution", plainText)
	for _, key := range []string{"id", "title", "code", "source", "extends"} {
		if n := m.Key(key); n != nil {
			n.Report(strict.Report{Found: fmt.Sprintf("%q belongs to a region file", key),
				Expected: "an overlay, which names itself with 'name'", Fix: "take it out; to make a region of its own, copy a region file"})
		}
	}
	f.body = f.doc.Root().Without(append(overlayHeading, regionHeading...)...)
	return f
}

// assemble joins a region file with what it extends and the overlays, and
// reads the whole.
func assemble(f *file, fsys fs.FS, overlays []Overlay) (*Region, error) {
	files := []*file{f}
	if f.failure == nil && f.extends != "" {
		base := baseOf(f, fsys)
		if base == nil {
			return nil, f.err()
		}
		files = []*file{base, f}
	}
	r := &reader{edition: f.info.Edition, overlays: make(map[*strict.Doc]conductor.Source), region: &Region{Info: f.info}}
	for _, o := range overlays {
		over := parseOverlay(o)
		if over.failure == nil && len(over.forIDs) > 0 && !slices.Contains(over.forIDs, f.info.ID) {
			over.doc.Root().Map("an overlay").Get("for").Report(strict.Report{Found: fmt.Sprintf("these amendments are not for %q", f.info.ID),
				Expected: strings.Join(over.forIDs, " or "), Fix: "load them with that region, or add this one"})
		}
		r.overlays[over.doc] = over.cite
		r.region.Amendments = append(r.region.Amendments, over.info.Title)
		r.region.Cautions = append(r.region.Cautions, over.info.Cautions...)
		files = append(files, over)
	}
	var body *strict.Node
	var errs []error
	for _, f := range files {
		if f.failure != nil {
			errs = append(errs, f.failure)
			continue
		}
		if body = strict.Merge(body, f.body, removal); body == nil {
			body = f.body
		}
	}
	if body != nil && len(errs) == 0 {
		r.body(body)
	}
	for _, f := range files {
		if f.failure == nil {
			errs = append(errs, f.doc.Err())
		}
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	if err := r.check(files); err != nil {
		return nil, err
	}
	return r.region, nil
}

// baseOf returns the file that f extends, or nil after reporting what is wrong
// with that to f.
func baseOf(f *file, fsys fs.FS) *file {
	extends := f.doc.Root().Map("a region file").Get("extends")
	known := ids(fsys)
	if !slices.Contains(known, f.extends) {
		fsys = shipped()
		known = slices.Compact(slices.Sorted(slices.Values(append(known, ids(fsys)...))))
	}
	if !slices.Contains(known, f.extends) || f.extends == f.info.ID {
		extends.Report(strict.Report{Found: fmt.Sprintf("there is no region %q to extend", f.extends),
			Expected: strings.Join(known, ", "), Fix: strict.DidYouMean(f.extends, known)})
		return nil
	}
	base := open(fsys, f.extends)
	if base.err() == nil && base.extends != "" {
		extends.Report(strict.Report{Found: fmt.Sprintf("%s itself extends %s", f.extends, base.extends),
			Expected: "a region that states everything itself", Fix: "extend " + base.extends + " and state the differences from it"})
		return nil
	}
	return base
}

// body reads everything below the heading.
func (r *reader) body(n *strict.Node) {
	r.region.Conductor.Region, r.region.Box.Region = r.region.ID, r.region.ID
	m := n.Map("a region file")
	part(m, "conductors", "the rules for conductors", func(m *strict.Map) { r.conductors(m) })
	part(m, "box fill", "the rules for box fill", func(m *strict.Map) { r.boxFill(m) })
	part(m, "wiring", "the rules for wiring", func(m *strict.Map) { r.wiring(m) })
	part(m, "stock", "what can be had", func(m *strict.Map) { r.stock(m) })
	entries(m.Get("refused"), "rules whose figures are not sure enough, by name", func(name, v *strict.Node) {
		row := Refused{Name: name.Raw()}
		if why, ok := v.Text("why the figures are not given"); ok {
			row.Why = why
		}
		r.region.Refused = append(r.region.Refused, row)
	})
	sortedBy(r.region.Refused, func(x Refused) string { return x.Name })
	m.Done()
}

// check has the tables looked over by the packages they are for.
func (r *reader) check(files []*file) error {
	err := errors.Join(r.region.Conductor.Check(), r.region.Box.Validate())
	if err == nil {
		return nil
	}
	names := make([]string, len(files))
	for i, f := range files {
		names[i] = f.doc.Name()
	}
	return fmt.Errorf("%s: %w", strings.Join(names, " with "), err)
}

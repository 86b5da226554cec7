package job

import (
	"example.com/switchleg/internal/strict"
	"example.com/switchleg/switchnet/wiring"
)

// Explain puts problems that another package found in the intent or the wiring of a
// file as Parse puts its own: src is the text that was parsed, err is
// [wiring.Problems], and the result an [*Errors] with the line and column of each. An
// error of another sort, and nil, come back as they are.
func Explain(name string, src []byte, err error, opt *Options) error {
	problems, ok := err.(wiring.Problems)
	if !ok {
		return err
	}
	doc, failed := strict.Parse(name, src, opt.limits())
	if failed != nil {
		return failed
	}
	r := newReader(doc, opt)
	if r.version() {
		r.file()
		for _, p := range problems {
			r.contradiction(p)
		}
	}
	return doc.Err()
}

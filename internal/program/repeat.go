package program

import (
	"flag"
	"strings"
)

// once counts how often a flag is given. Of a flag that is given twice only the last
// value would count, and a list that lost a part gives a wrong figure.
type once struct {
	flag.Value
	given int
}

func (o *once) Set(text string) error {
	o.given++
	return o.Value.Set(text)
}

// IsBoolFlag reports whether the flag needs no value.
func (o *once) IsBoolFlag() bool {
	b, ok := o.Value.(interface{ IsBoolFlag() bool })
	return ok && b.IsBoolFlag()
}

// watch counts how often each flag is given until it is called back, which returns
// the names of those given more than once, in name order. A flag that gathers its
// values in a function may be given as often as one likes.
func watch(flags *flag.FlagSet) (stop func() []string) {
	var watched []*flag.Flag
	flags.VisitAll(func(f *flag.Flag) {
		if _, ok := f.Value.(flag.Getter); ok {
			f.Value = &once{Value: f.Value}
			watched = append(watched, f)
		}
	})
	return func() []string {
		var twice []string
		for _, f := range watched {
			o := f.Value.(*once)
			if f.Value = o.Value; o.given > 1 {
				twice = append(twice, f.Name)
			}
		}
		return twice
	}
}

// late returns the flags that stand after an argument that is none, as written, and
// which flag reading therefore took for arguments.
func late(flags *flag.FlagSet) []string {
	var late []string
	for _, arg := range flags.Args() {
		name, dash := strings.CutPrefix(arg, "-")
		name, _, _ = strings.Cut(strings.TrimPrefix(name, "-"), "=")
		if dash && flags.Lookup(name) != nil {
			late = append(late, arg)
		}
	}
	return late
}

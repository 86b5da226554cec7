package conductor

import (
	"errors"
	"fmt"
)

// errorList gathers everything that is wrong before any of it is reported.
type errorList []error

func (l *errorList) add(format string, args ...any) { *l = append(*l, fmt.Errorf(format, args...)) }

// unless adds the message when ok is false.
func (l *errorList) unless(ok bool, format string, args ...any) {
	if !ok {
		l.add(format, args...)
	}
}

func (l errorList) join() error { return errors.Join(l...) }

package lab

import "slices"

// Tasks returns the tasks of this package, in this order.
func Tasks() []Task {
	return []Task{wireIt{}, completeIt{}, findFault{}, identifyIt{}, planIt{}, proveIt{}, inspectIt{}, predictLights{}, predictReadings{}, predictFill{}, predictSize{}}
}

// Lookup returns the task of this package with a name.
func Lookup(name string) (Task, bool) {
	for _, t := range Tasks() {
		if t.Name() == name {
			return t, true
		}
	}
	return nil, false
}

// Names returns the names of the tasks of this package, in their order.
func Names() []string {
	var out []string
	for _, t := range Tasks() {
		out = append(out, t.Name())
	}
	return slices.Clip(out)
}

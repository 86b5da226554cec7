package strict

import "slices"

// A Map reads the entries of a map by key and remembers which keys were asked
// for, so that [Map.Done] can complain about the others. A nil Map, which is
// what a node of another kind yields, has no entries and complains of nothing.
type Map struct {
	node  *Node
	what  string
	index map[string]int // into entries; nil for small maps
	known []string       // asked for, in order
	taken []bool
}

// Map returns a reader of the entries; what says what they describe ("a box").
// It reports a node of another kind and returns nil.
func (n *Node) Map(what string) *Map {
	if !n.Sound() {
		return nil
	}
	if n.kind != KindMap {
		found := "found " + n.kind.String()
		if n.Empty() {
			found = "nothing is written here"
		}
		n.Report(Report{Found: found, Expected: what + ", written as 'key: value' lines"})
		return nil
	}
	m := &Map{node: n, what: what, taken: make([]bool, len(n.entries))}
	if len(n.entries) > 16 {
		m.index = make(map[string]int, len(n.entries))
		for i := len(n.entries) - 1; i >= 0; i-- { // the first of a doubled key wins
			m.index[n.entries[i].Key.text] = i
		}
	}
	return m
}

// Node returns the node that is read; nil for a nil Map.
func (m *Map) Node() *Node {
	if m == nil {
		return nil
	}
	return m.node
}

func (m *Map) find(key string) int {
	if m == nil {
		return -1
	}
	if !slices.Contains(m.known, key) {
		m.known = append(m.known, key)
	}
	i := -1
	if m.index != nil {
		if j, ok := m.index[key]; ok {
			i = j
		}
	} else {
		i = slices.IndexFunc(m.node.entries, func(e Entry) bool { return e.Key.text == key })
	}
	if i >= 0 {
		m.taken[i] = true
	}
	return i
}

// Get returns the value of a key, nil when the key is not there. Asking makes
// the key a known one.
func (m *Map) Get(key string) *Node {
	if i := m.find(key); i >= 0 {
		return m.node.entries[i].Value
	}
	return nil
}

// Key returns the node of the key itself, nil when it is not there. Asking
// makes the key a known one.
func (m *Map) Key(key string) *Node {
	if i := m.find(key); i >= 0 {
		return m.node.entries[i].Key
	}
	return nil
}

// Need is Get for a key that must be there: it reports the lack, what says
// what is missing ("a length such as 34 ft").
func (m *Map) Need(key, what string) *Node {
	i := m.find(key)
	if i >= 0 {
		return m.node.entries[i].Value
	}
	if m != nil {
		m.node.Report(Report{Found: m.what + " has no " + quote(key), Expected: what, Fix: "add " + key + ": …"})
	}
	return nil
}

// Entries returns all entries in file order and makes every key a known one:
// for maps whose keys are names the writer chose.
func (m *Map) Entries() []Entry {
	if m == nil {
		return nil
	}
	for i := range m.taken {
		m.taken[i] = true
	}
	return m.node.entries
}

// Done reports every key that nobody asked for, with the known ones in the
// order they were asked for and the nearest of them.
func (m *Map) Done() {
	if m == nil {
		return
	}
	for i, e := range m.node.entries {
		if m.taken[i] || e.Key.bad || !e.Key.doc.problems.counts(e.Key.pos) {
			continue
		}
		fix := DidYouMean(e.Key.text, m.known)
		if fix == "" {
			fix = "take it out or write it as a comment"
		}
		e.Key.Report(Report{Found: quote(e.Key.text) + " is not a key of " + m.what, Expected: oneOf(m.known), Fix: fix})
	}
}

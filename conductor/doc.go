// Package conductor holds the vocabulary of conductors and cables (sizes,
// materials, colours, make-up) and the rule tables of a region.
package conductor

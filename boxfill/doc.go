// Package boxfill says whether what is in a box fits it under the box-fill
// rules of a region, line by line, each figure with its section.
package boxfill

// Package fingers knows which keys a note of a woodwind takes, chooses among the
// ways to finger a passage, and says which changes are hard and why. Pure: charts
// and costs are read from bytes that the caller hands in.
//
// A [Chart] is one instrument's keys and fingerings. [Chart.Choose] finds the
// cheapest way through a passage or a loop, [Choice.Changes] what each change takes
// of the fingers. A chart and a choice are not written to once they are made, so
// that any number of goroutines may read them.
//
// The costs' order has sources, their weights are the project's own: see
// assets/fingerings/cost.yaml. Hands differ, and a teacher's word comes first.
package fingers

// Package stat holds the few statistics that hearing, judging and scoring
// share. It is pure.
package stat

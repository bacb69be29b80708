// Package trial tries changes on a job that stays as it is: a list of small
// statements, applied one after the other to a copy. What comes of them is a job like
// any other, to be planned and compared; or words that say which statement no longer
// holds and why.
package trial

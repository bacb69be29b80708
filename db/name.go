package db

import "fmt"

// namer names things that have no name of their own after what they say; the
// second of the same gets a number in brackets.
type namer map[string]int

func (n namer) name(text string) string {
	n[text]++
	if n[text] == 1 {
		return text
	}
	return fmt.Sprintf("%s (%d)", text, n[text])
}

package db

import (
	"reflect"

	"gaugerod/scheduler"
)

// link is a row of a table that lists names for a thing. The row types are links
// with the names of their own columns in the tags.
type link struct {
	ordered
	Owner  scheduler.ID
	Member scheduler.ID
}

// links is a table of row type R, a link, that keeps a list of names which things
// of a kind have: each goes through the lists of a job, list finds one to fill.
func links[R any](table, kind, name string,
	each func(job *scheduler.Job, do func(owner scheduler.ID, members []scheduler.ID)),
	list func(j *joiner, owner scheduler.ID) *[]scheduler.ID,
) content[R] {
	return content[R]{
		name: table, kind: kind, list: name,
		split: func(job *scheduler.Job) (rows []R) {
			each(job, func(owner scheduler.ID, members []scheduler.ID) {
				for _, m := range members {
					rows = append(rows, convert[R](link{Owner: owner, Member: m}))
				}
			})
			return rows
		},
		join: func(j *joiner, rows []R) {
			for _, r := range rows {
				l := convert[link](r)
				members := list(j, l.Owner)
				*members = append(*members, l.Member)
			}
		},
	}
}

// convert turns one struct into another that differs in the tags alone.
func convert[To any](from any) To {
	return reflect.ValueOf(from).Convert(reflect.TypeFor[To]()).Interface().(To)
}

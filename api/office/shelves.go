package office

import (
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/worktime"
)

// keptPlans is how many as-of days of one job are kept in memory.
const keptPlans = 8

// What a step takes in memory, measured on 21 houses of 30 to 241 steps: in the job and
// its network, and in a plan that was read, which takes more than one made here;
// and in what readers keep beside the sheet, which is first of all the plan as written.
const (
	bytesInNetwork = 1600
	bytesInPlan    = 2900
	bytesBeside    = 3200
)

// shelf is one revision of a job with the plans made of it so far.
type shelf struct {
	job      *scheduler.Job
	network  *scheduler.Network
	revision int64
	usual    worktime.Date // from which it was planned anyway, when it was read
	sheets   map[worktime.Date]*Sheet
	order    []worktime.Date // as they were put there, the oldest first
	before   memory          // what the last usual plan of the job left for the next
	older    *Sheet          // of the last revision that was planned, until this one is
	used     int64           // when it was last asked for, by count
}

// memory is what a plan leaves for the next one.
type memory struct {
	of   db.PlanOf
	take int
	left *planner.Memory // nil: nothing
}

// weight is about how many bytes a shelf takes. The older sheet is not counted: it stays
// only until there is a plan, and many who read would have to wait without it.
func (s *shelf) weight() int {
	n := len(s.network.Steps) * (bytesInNetwork + len(s.sheets)*(bytesInPlan+bytesBeside))
	if s.before.left != nil {
		n += s.before.left.Weight()
	}
	return n
}

// newest is the sheet of a day, else what was put there last, else that of an older revision;
// nil: none.
func (s *shelf) newest(day worktime.Date) *Sheet {
	if sheet := s.sheets[day]; sheet != nil {
		return sheet
	}
	if n := len(s.order); n > 0 {
		return s.sheets[s.order[n-1]]
	}
	return s.older
}

// keep puts a sheet on the shelf, in the place of an older take or of the oldest.
func (s *shelf) keep(sheet *Sheet) {
	if was := s.sheets[sheet.AsOf]; was != nil {
		if was.Take < sheet.Take {
			s.sheets[sheet.AsOf] = sheet
		}
		return
	}
	if len(s.order) == keptPlans {
		delete(s.sheets, s.order[0])
		s.order = s.order[1:]
	}
	s.sheets[sheet.AsOf] = sheet
	s.order = append(s.order, sheet.AsOf)
}

// shelves keep jobs in memory, those asked for last. They are guarded by Office.mu.
type shelves struct {
	room  int // bytes, about
	by    map[scheduler.ID]*shelf
	count int64
}

// take is the shelf of a job, nil where there is none.
func (all *shelves) take(id scheduler.ID) *shelf {
	s := all.by[id]
	if s != nil {
		all.count++
		s.used = all.count
	}
	return s
}

// put keeps a shelf, unless one of the same or a newer revision is there: that one is
// used then. What the plan before left goes from revision to revision.
func (all *shelves) put(s *shelf) *shelf {
	id := s.job.ID
	was := all.by[id]
	if was != nil && was.revision == s.revision {
		return all.take(id)
	}
	if was != nil && was.revision > s.revision {
		return s // read before, came after: it serves whoever asked and is forgotten
	}
	if was != nil {
		s.before, s.older = was.before, was.newest(s.usual)
	}
	all.by[id] = s
	all.take(id)
	all.clear(s)
	return s
}

// clear makes room: of the jobs that nobody has asked for longest first what the plan
// before left, for the next plan can be made from the stored one, only more slowly;
// then all. The given shelf stays.
func (all *shelves) clear(but *shelf) {
	weight := 0
	for _, s := range all.by {
		weight += s.weight()
	}
	for _, whole := range []bool{false, true} {
		for weight > all.room {
			s := all.idlest(but, whole)
			if s == nil {
				break
			}
			weight -= s.weight()
			if whole {
				delete(all.by, s.job.ID)
				continue
			}
			s.before = memory{}
			weight += s.weight()
		}
	}
}

// idlest is the shelf that nobody has asked for longest, among all or those with a
// memory; nil where there is none but the one that stays.
func (all *shelves) idlest(but *shelf, whole bool) *shelf {
	var idlest *shelf
	for _, s := range all.by {
		if s != but && (whole || s.before.left != nil) && (idlest == nil || s.used < idlest.used) {
			idlest = s
		}
	}
	return idlest
}

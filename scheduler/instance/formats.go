package instance

import (
	"bytes"
	"fmt"
)

// makeRoom readies the problem for so many steps and resources.
func (p *Problem) makeRoom(steps, resources int) error {
	if steps < 2 || steps*resources > mostUses {
		return fmt.Errorf("%w: %d steps and %d resources", ErrFormat, steps, resources)
	}
	p.Length, p.Size = make([]int64, steps), make([]int64, resources)
	p.Use = make([][]int64, resources)
	for r := range p.Use {
		p.Use[r] = make([]int64, steps)
	}
	return nil
}

// finishToStart turns successors into lags, once lengths are known.
func (p *Problem) finishToStart(after [][]int) {
	for i, list := range after {
		for _, j := range list {
			p.Lags = append(p.Lags, Lag{From: i, To: j, Least: p.Length[i]})
		}
	}
}

// readSections reads the format with titled sections (.sm).
func (p *Problem) readSections(data []byte) error {
	part := func(title, end string) *numbers {
		at := bytes.Index(data, []byte(title))
		if at < 0 {
			return &numbers{err: fmt.Errorf("%w: it has no section %q", ErrFormat, title)}
		}
		body := data[at+len(title):]
		if cut := bytes.Index(body, []byte(end)); cut >= 0 {
			body = body[:cut]
		}
		return newNumbers(body)
	}
	head := part("jobs (incl. supersource/sink ):", "\n")
	n := head.count()
	kinds := part("- renewable                 :", "R")
	resources := kinds.count()
	if head.err != nil || kinds.err != nil {
		return fmt.Errorf("%w: its head does not give steps and resources", ErrFormat)
	}
	if err := p.makeRoom(n, resources); err != nil {
		return err
	}
	after := make([][]int, n)
	order := part("#modes  #successors   successors", "****")
	for range n {
		i := order.index(1, n)
		order.next()
		for range order.count() {
			after[i] = append(after[i], order.index(1, n))
		}
	}
	work := part("REQUESTS/DURATIONS:", "****")
	for len(work.fields) > 0 {
		title := work.fields[0]
		work.fields = work.fields[1:]
		if bytes.HasPrefix(title, []byte("---")) {
			break // the rule below the column titles
		}
	}
	for range n {
		i := work.index(1, n)
		work.next()
		p.Length[i] = int64(work.next())
		for r := range resources {
			p.Use[r][i] = int64(work.next())
		}
	}
	sizes := part("RESOURCEAVAILABILITIES:", "****")
	for len(sizes.fields) > resources {
		sizes.fields = sizes.fields[1:] // the column titles
	}
	for r := range resources {
		p.Size[r] = int64(sizes.next())
	}
	p.finishToStart(after)
	for _, part := range []*numbers{order, work, sizes} {
		if part.err != nil {
			return part.err
		}
	}
	return nil
}

// readNumbers reads the format of bare numbers (.rcp).
func (p *Problem) readNumbers(data []byte) error {
	in := newNumbers(data)
	n, resources := in.count(), in.count()
	if in.err != nil {
		return fmt.Errorf("%w: it does not begin with the numbers of steps and resources", ErrFormat)
	}
	if err := p.makeRoom(n, resources); err != nil {
		return err
	}
	for r := range resources {
		p.Size[r] = int64(in.next())
	}
	after := make([][]int, n)
	for i := range n {
		p.Length[i] = int64(in.next())
		for r := range resources {
			p.Use[r][i] = int64(in.next())
		}
		for range in.count() {
			after[i] = append(after[i], in.index(1, n))
		}
	}
	p.finishToStart(after)
	return in.err
}

// readLags reads the format with start-to-start lags in brackets (.sch).
func (p *Problem) readLags(data []byte) error {
	in := newNumbers(data)
	n, resources := in.count()+2, in.count()
	in.next()
	in.next()
	if in.err != nil {
		return fmt.Errorf("%w: it does not begin with the numbers of steps and resources", ErrFormat)
	}
	if err := p.makeRoom(n, resources); err != nil {
		return err
	}
	for range n {
		i := in.index(0, n)
		in.next()
		to := make([]int, in.count())
		for k := range to {
			to[k] = in.index(0, n)
		}
		for _, j := range to {
			p.Lags = append(p.Lags, Lag{From: i, To: j, Least: int64(in.next())})
		}
	}
	for range n {
		i := in.index(0, n)
		in.next()
		p.Length[i] = int64(in.next())
		for r := range resources {
			p.Use[r][i] = int64(in.next())
		}
	}
	for r := range resources {
		p.Size[r] = int64(in.next())
	}
	return in.err
}

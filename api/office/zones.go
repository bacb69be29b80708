package office

import (
	"fmt"
	"sync"
	"time"

	"gaugerod/scheduler"
)

// zones keeps the time zones of jobs: each request about a job asks for its day, and to
// read a zone is to open a file.
type zones struct{ known sync.Map }

func (z *zones) of(job *scheduler.Job) (*time.Location, error) {
	if zone, ok := z.known.Load(job.Zone); ok {
		return zone.(*time.Location), nil
	}
	zone, err := time.LoadLocation(job.Zone)
	if err != nil {
		return nil, fmt.Errorf("time zone of job %s: %w", job.ID, err)
	}
	z.known.Store(job.Zone, zone)
	return zone, nil
}

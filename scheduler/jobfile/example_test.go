package jobfile_test

import (
	"fmt"

	"gaugerod/scheduler/jobfile"
)

func ExampleRead() {
	_, err := jobfile.Read("shed.job.yaml", []byte(`job: shed
title: A shed
zone: Europe/Vienna
start: 2026-03-02
week: {monday: [07:30-16:00]}
trades:
  framing: {title: Framing}
tasks:
  frame: {title: Frame, trade: framin, takes: 3 moons}
`))
	fmt.Println(err)
	// Output:
	// shed.job.yaml:9:32: task "frame" names the trade "framin", which is not under trades; did you mean "framing"?
	// shed.job.yaml:9:47: takes of task "frame": "3 moons" has no unit that is known; the units are minutes, hours, days, weeks, elapsed minutes, elapsed hours, elapsed days, elapsed weeks
}

func ExampleWrite() {
	job, err := jobfile.Read("shed.job.yaml", []byte(`
{job: shed, title: A shed, zone: Europe/Vienna, start: 2026-03-02, week: {monday: [07:30-16:00]},
tasks: {floor: {title: Floor, takes: 2 days}, frame: {title: Frame, takes: 3 days}},
waits: [{from: {finish: floor}, to: {start: frame}, least: 24 elapsed hours, reason: cure}]}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	file, err := jobfile.Write(job)
	fmt.Print(string(file), err)
	// Output:
	// job: shed
	// title: A shed
	// zone: Europe/Vienna
	// start: 2026-03-02
	// week:
	//   monday: [07:30-16:00]
	//
	// tasks:
	//   floor: {title: Floor, takes: 2 days}
	//   frame:
	//     title: Frame
	//     takes: 3 days
	//     after:
	//       - {finish: floor, least: 24 elapsed hours, reason: cure}
	// <nil>
}

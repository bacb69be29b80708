package signin

import "strings"

// programs and systems are words that devices send of themselves, and what they
// are called; the first that is found counts, so those that also name another
// stand before it.
var (
	programs = [][2]string{
		{"Edg", "Edge"},
		{"OPR/", "Opera"},
		{"SamsungBrowser", "Samsung Internet"},
		{"Firefox", "Firefox"},
		{"FxiOS", "Firefox"},
		{"CriOS", "Chrome"},
		{"Chrome", "Chrome"},
		{"Safari", "Safari"},
		{"curl/", "curl"},
		{"Go-http-client", "a script"},
		{"python", "a script"},
	}
	systems = [][2]string{
		{"Android", "Android"}, {"iPhone", "iPhone"}, {"iPad", "iPad"}, {"Windows", "Windows"}, {"Mac OS X", "Mac"}, {"CrOS", "Chromebook"}, {"Linux", "Linux"},
	}
)

// Device is what a User-Agent says, in few plain words, for instance "Firefox on
// Android". The text itself is not kept.
func Device(userAgent string) string {
	program, system := firstOf(programs, userAgent), firstOf(systems, userAgent)
	switch {
	case program == "" && system == "":
		return "an unknown device"
	case program == "":
		return "a program on " + system
	case system == "":
		return program
	}
	return program + " on " + system
}

func firstOf(words [][2]string, text string) string {
	for _, w := range words {
		if strings.Contains(text, w[0]) {
			return w[1]
		}
	}
	return ""
}

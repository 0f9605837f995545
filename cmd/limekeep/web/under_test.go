package web

import "testing"

func TestLinksArePutBelow(t *testing.T) {
	s := &Server{Under: "/at/blue"}
	for _, c := range []struct{ page, want string }{
		{`<a href="/tasks/x#record">`, `<a href="/at/blue/tasks/x#record">`},
		{`<a class="b" href="/">`, `<a class="b" href="/at/blue/">`},
		{`<form method="post" action="/use?a=1">`, `<form method="post" action="/at/blue/use?a=1">`},
		{`<a href="#x"><a href=""><a href="//elsewhere/"><a href="https://example.org/">`, `<a href="#x"><a href=""><a href="//elsewhere/"><a href="https://example.org/">`},
		{`<link href="/static/style.css"><form action="/sign-out">`, `<link href="/static/style.css"><form action="/sign-out">`},
		{`<a href="/places"><a href="/places?past=1"><a href="/at/red/">`, `<a href="/places"><a href="/places?past=1"><a href="/at/red/">`},
		{`<a href="/placesx">`, `<a href="/at/blue/placesx">`},
		{`<p>nothing</p><a href="/cut`, `<p>nothing</p><a href="/cut`},
	} {
		if got := string(s.putBelow([]byte(c.page))); got != c.want {
			t.Errorf("%s becomes %s; want %s", c.page, got, c.want)
		}
	}
	if got := string((&Server{}).putBelow([]byte(`<a href="/plan">`))); got != `<a href="/plan">` {
		t.Errorf("the only place has its pages at the root, not %s", got)
	}
}

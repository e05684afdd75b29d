/* Drops a file on a window, as a file manager does: drop WINDOW X Y URI. The
 * protocol is XDND, version 5 (freedesktop.org/wiki/Specifications/XDND). */
#include <X11/Xatom.h>
#include <X11/Xlib.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static Display *display;
static Window own;

static Atom atom(const char *name) { return XInternAtom(display, name, False); }

static void tell(Window to, const char *what, long a, long b, long c, long d)
{
	XEvent e;
	memset(&e, 0, sizeof e);
	e.xclient.type = ClientMessage;
	e.xclient.display = display;
	e.xclient.window = to;
	e.xclient.message_type = atom(what);
	e.xclient.format = 32;
	e.xclient.data.l[0] = (long)own;
	e.xclient.data.l[1] = a;
	e.xclient.data.l[2] = b;
	e.xclient.data.l[3] = c;
	e.xclient.data.l[4] = d;
	XSendEvent(display, to, False, NoEventMask, &e);
	XFlush(display);
}

/* hand gives the list of files, of one, to whom it is dropped on. */
static void hand(XSelectionRequestEvent *asked, const char *uri)
{
	char list[4096];
	XEvent e;
	snprintf(list, sizeof list, "%s\r\n", uri);
	XChangeProperty(display, asked->requestor, asked->property, asked->target, 8, PropModeReplace,
			(unsigned char *)list, (int)strlen(list));
	memset(&e, 0, sizeof e);
	e.xselection.type = SelectionNotify;
	e.xselection.requestor = asked->requestor;
	e.xselection.selection = asked->selection;
	e.xselection.target = asked->target;
	e.xselection.property = asked->property;
	e.xselection.time = asked->time;
	XSendEvent(display, asked->requestor, False, NoEventMask, &e);
	XFlush(display);
}

int main(int argc, char **argv)
{
	Window to;
	XEvent e;
	if (argc != 5 || !(display = XOpenDisplay(NULL))) {
		fputs("drop WINDOW X Y URI, on a screen that DISPLAY names\n", stderr);
		return 2;
	}
	to = strtoul(argv[1], NULL, 0);
	own = XCreateSimpleWindow(display, DefaultRootWindow(display), 0, 0, 1, 1, 0, 0, 0);
	XSetSelectionOwner(display, atom("XdndSelection"), own, CurrentTime);
	tell(to, "XdndEnter", 5L << 24, (long)atom("text/uri-list"), 0, 0);
	tell(to, "XdndPosition", 0, atol(argv[2]) << 16 | atol(argv[3]), CurrentTime, (long)atom("XdndActionCopy"));
	for (;;) {
		XNextEvent(display, &e);
		if (e.type == SelectionRequest) {
			hand(&e.xselectionrequest, argv[4]);
		} else if (e.type == ClientMessage && e.xclient.message_type == atom("XdndStatus")) {
			if (!(e.xclient.data.l[1] & 1)) {
				fputs("the window takes no file here\n", stderr);
				return 1;
			}
			tell(to, "XdndDrop", 0, CurrentTime, 0, 0);
		} else if (e.type == ClientMessage && e.xclient.message_type == atom("XdndFinished")) {
			return 0;
		}
	}
}

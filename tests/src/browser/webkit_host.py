#!/usr/bin/python3
"""A bare window around WebKitGTK for the browser tests; its driver starts it.

Arguments: the folder of what it keeps, width and height in CSS pixels, the language. What no
WebDriver command reaches is asked for by the page under test, through the message handler "host":
a JSON object of which any member may be left out:
    scheme  "light" or "dark"
    still   true: less motion is preferred
    before  a script to run before those of every page from the next one on
    print   a file to print the newest page to, as a PDF on paper of so many inches: [path, width, height]
"""

import json
import os
import sys

import gi

gi.require_version("Gtk", "3.0")
gi.require_version("WebKit2", "4.1")
from gi.repository import Gdk, Gtk, WebKit2  # noqa: E402

folder, width, height, language = sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), sys.argv[4]
look = Gtk.Settings.get_default()

data = WebKit2.WebsiteDataManager(
    base_data_directory=f"{folder}/data", base_cache_directory=f"{folder}/cache"
)
context = WebKit2.WebContext.new_with_website_data_manager(data)
context.set_automation_allowed(True)
context.set_preferred_languages([language])
scripts = WebKit2.UserContentManager()
views = []
settings = WebKit2.Settings()
settings.set_enable_write_console_messages_to_stdout(True)
settings.set_enable_media_stream(True)
settings.set_enable_mock_capture_devices(True)
# As Safari has it, but this port by default has not.
features = WebKit2.Settings.get_all_features()
for feature in (features.get(at) for at in range(features.get_length())):
    if feature.get_identifier() == "StorageAPI":
        settings.set_feature_enabled(feature, True)


def print_to(path, width, height):
    paper = Gtk.PageSetup()
    size = Gtk.PaperSize.new_custom("paper", "paper", width, height, Gtk.Unit.INCH)
    paper.set_paper_size(size)
    how = Gtk.PrintSettings()
    how.set_printer("Print to File")
    how.set(Gtk.PRINT_SETTINGS_OUTPUT_FILE_FORMAT, "pdf")
    how.set(Gtk.PRINT_SETTINGS_OUTPUT_URI, f"file://{path}.part")
    printing = WebKit2.PrintOperation.new(views[-1])
    printing.set_page_setup(paper)
    printing.set_print_settings(how)
    # The file is there once it is whole.
    printing.connect("finished", lambda _: os.rename(f"{path}.part", path))
    printing.print_()


def on_message(_, result):
    asked = json.loads(result.get_js_value().to_string())
    if "scheme" in asked:
        look.set_property("gtk-application-prefer-dark-theme", asked["scheme"] == "dark")
    if "still" in asked:
        look.set_property("gtk-enable-animations", not asked["still"])
    if "print" in asked:
        print_to(*asked["print"])
    if "before" in asked:
        scripts.add_script(
            WebKit2.UserScript(
                asked["before"],
                WebKit2.UserContentInjectedFrames.TOP_FRAME,
                WebKit2.UserScriptInjectionTime.START,
                None,
                None,
            )
        )


def new_view(_):
    view = WebKit2.WebView(
        web_context=context,
        user_content_manager=scripts,
        settings=settings,
        is_controlled_by_automation=True,
    )
    view.connect("close", lambda view: view.get_toplevel().destroy())
    window = Gtk.Window()
    window.set_decorated(False)
    window.set_default_size(width, height)
    window.add(view)
    # No window manager is there to do it.
    window.connect("map-event", lambda window, _: window.get_window().focus(Gdk.CURRENT_TIME))
    window.show_all()
    view.grab_focus()
    views.append(view)
    return view


def on_automation(_, session):
    application = WebKit2.ApplicationInfo()
    application.set_name("webkit-host")
    application.set_version(1, 0, 0)
    session.set_application_info(application)
    session.connect("create-web-view", new_view)
    if session.find_property("id"):
        session.connect("will-close", lambda _: Gtk.main_quit())


scripts.connect("script-message-received::host", on_message)
scripts.register_script_message_handler("host")
context.connect("automation-started", on_automation)
Gtk.main()

"""Pages of the app: they read widgets, call `study`, and show.

Open `navigation` first: it lists the pages. `desk` holds studies, plan, log and protocols,
`bench` what is used with gloves on, `photos` the pictures, `answers` what came out.
"""

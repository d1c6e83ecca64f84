"""Pages used at the bench, with gloves on.

Open `bench_page` first: it shows what is due. `order_form` draws the order, `bench_readings`,
`bench_counter`, `bench_folds` and `bench_chops` take what is read, counted, seen and chopped.
"""

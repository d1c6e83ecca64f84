"""Pages used at the bench, with gloves on; `bench_page` opens what is due."""

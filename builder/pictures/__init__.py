"""Static pictures: drawn once as shapes, written as SVG or PNG. Knows no entries and no pages."""

// The data files that the builder publishes for the scripts, by the module of `builder/site/` that writes them.
// `tests/test_browser_code.py` holds these names against the files themselves.

declare namespace Published {
  /** A column of a table: its values, or words that repeat, once each, and each row's place among them. */
  type Column<Value> = Value[] | { words: Value[]; at: number[] };

  /** A table as it is published, all columns equally long. */
  type Columns<Row> = { [Name in keyof Row]: Column<Row[Name]> };

  // explorer_page.py: explore/configurations.json, explore/faces/*.packed and explore/methods/*/*.packed

  // search_index.py: assets/search.json

  /** What the search of the whole site finds, in columns. */
  type Search = Columns<Findable>;

  interface Findable {
    /** Below the site's root. */
    address: string;
    name: string;
    /** What kind of thing it is, in a word or two, or the page that a section is of. */
    within: string;
    kind: "mask" | "part" | "page";
    /** What it speaks of beside its name. */
    words: string;
  }

  /** The figures of a configuration; null where no test counts. */
  interface Figures {
    tests: number;
    wearers: number;
    set_aside: number;
    median_fit_factor: number | null;
    median_at_least: boolean;
    lowest_fit_factor: number | null;
    highest_fit_factor: number | null;
    highest_at_least: boolean;
    geometric_mean: number | null;
    geometric_mean_at_least: boolean;
    til_percent: number | null;
    wearer_median_fit_factor: number | null;
    wearer_median_at_least: boolean;
    share_at_100: number | null;
    share_at_100_low: number | null;
    share_at_100_high: number | null;
    share_wearers: number;
  }

  interface Configuration extends Figures {
    id: string;
    mask: string;
    mask_label: string;
    maker: string;
    /** "as sold" or the changed parts. */
    change: string;
    style: string;
    mask_class: string;
    /** The part in effect, as sold or changed; "" where none is named. */
    straps: string;
    /** Ids of the changed parts, "+" between them. */
    parts: string;
    /** What the change did on the same wearers, in a few words; "" where that is not known. */
    effect: string;
    /** The lower limit of that ratio. */
    effect_low: number | null;
    /** Donnings that tell of comfort, and those that were comfortable; of breathing, and those in which it was hard. */
    comfort_told: number;
    comfortable: number;
    breathing_told: number;
    hard_to_breathe: number;
  }

  interface Explorer {
    configurations: Columns<Configuration>;
    /** What words and parts are called, by kind and id. */
    labels: Record<"style" | "mask_class" | "part" | "slot" | "method", Record<string, string>>;
    /** By how many methods all tests were measured, and on how many wearers. */
    methods: number;
    wearers: number;
    strip: Strip;
  }

  /** The measures of the small picture in a table row. */
  interface Strip {
    width: number;
    height: number;
    margin: number;
    /** Radius of the dot. */
    dot: number;
    /** Half the height of the arrow of a lower limit. */
    arrow: number;
    /** End of the scale, which begins at 1. */
    top: number;
    /** The fit factor that a line marks. */
    mark: number;
  }

  /** Figures over the wearers of one face type alone, by all their methods or by one. */
  interface FaceType {
    wearers: number;
    methods: number;
    configurations: Columns<{ id: string } & Figures>;
  }

  // compare.py: compare/configurations.json and compare/masks/*.packed

  interface Comparable {
    id: string;
    mask: string;
    mask_label: string;
    change: string;
    /** Style, class and changed slots in words, for the search. */
    kinds: string;
    /** Wearers as numbers of this list. */
    wearers: number[];
    /** 1 where it has a page beside its mask as sold or, sold itself, beside the reference. */
    paged: 0 | 1;
  }

  interface Comparables {
    configurations: Columns<Comparable>;
    /** What the kinds of facial hair are called. */
    facial_hair: Record<string, string>;
    /** What methods are called, by id. */
    method_names: Record<string, string>;
    /** Masks and parts by the name they had, with the one they have now. */
    renamed: Record<string, string>;
    scatter: Scatter;
    methods: Methods;
    /** The mask that masks as sold have pages beside; "" for none. */
    reference: string;
    strip: Strip;
    /** What the database calls itself. */
    name: string;
    /** Day of the newest test. */
    newest: string;
    invented: boolean;
  }

  // yardstick_page.py: yardstick/*.packed

  /** All configurations by one mask as sold, highest first. */
  interface Yardstick {
    /** The ends of the axis of the small pictures, and what is labelled on it. */
    axis: [number, number];
    ticks: number[];
    rows: Columns<YardstickRow>;
    /** Those without a chain to the mask. */
    apart: string[];
  }

  interface YardstickRow {
    configuration: string;
    /** The ratio with its 90 % interval; null where only a limit is known, and on the side where nothing bounds it. */
    ratio: number | null;
    low: number | null;
    high: number | null;
    /** What the wearers of both say, and what all others do; null for no such evidence. */
    direct: number | null;
    indirect: number | null;
    disagree: 0 | 1;
    /** What the chain leads through between the mask and the configuration, and the wearers behind each link. */
    steps: string[];
    wearers: number[];
  }

  /** Re-donning scatter on ln FF: its variance on a wearer without repeats, and how alike one wearer's arms are in it. */
  interface Scatter {
    variance: number;
    arm_df: number;
    planned: boolean;
  }

  /** Protocol, kind of instrument and size selection; "" where it is not told. */
  type Method = string[];

  /** What each level of a method adds to ln FF, its loadings of independent errors, and a wearer's own variance. */
  interface Methods {
    /** Place in a method, and value. */
    levels: [number, string][];
    mean: number[];
    loadings: number[][];
    own: number;
  }

  /** What comparisons rest on. */
  type Basis = Pick<Comparables, "scatter" | "methods">;

  /**
   * The tests of one configuration on one face by one method: exact readings with their mean ln FF, the limits of the
   * others, the moderated variance of one donning, degrees of freedom of its own and of the wearer's scatter.
   */
  interface Arm {
    configuration: string;
    wearer: string;
    facial_hair: string;
    method: Method;
    n: number;
    mean: number;
    moderated: number;
    df: number;
    wearer_df: number;
    limits: number[];
  }

  interface Donning {
    configuration: string;
    wearer: string;
    fit_factor: number;
    at_least: 0 | 1;
    /** Id of the method it was measured by. */
    method: string;
  }

  /** Median and range of a configuration with tests that count. */
  interface Spread {
    configuration: string;
    tests: number;
    wearers: number;
    median_fit_factor: number;
    median_at_least: boolean;
    lowest_fit_factor: number;
    highest_fit_factor: number;
    highest_at_least: boolean;
  }

  interface MaskMeasured {
    arms: Columns<Arm>;
    tests: Columns<Donning>;
    figures: Columns<Spread>;
    /** The figures by each method alone, where there are several. */
    method_figures: Columns<Spread & { method: string }>;
  }

  // narrowed_figures.py: masks/*/methods/*.packed, hacks/*/methods/*.packed, faces/*/methods/*.packed

  /** A page's figures by one method: what they are of in a sentence, and the markup of each place by its name. */
  interface Narrowed {
    said: string;
    places: Record<string, string>;
  }

  // donnings_charts.py: masks/*/donnings.packed and masks/*/methods/*-donnings.packed

  /** A donning that counts, in its place. */
  interface PlacedDonning {
    wearer: string;
    /** Panel cell and nose bridge in words. */
    face: string;
    cell: string;
    bridge: string;
    date: string;
    /** Place of its configuration among the rows. */
    row: number;
    fit_factor: number;
    at_least: 0 | 1;
    /** Where it stands in its row, in pixels from the top of the picture. */
    height: number;
  }

  /** What the figure of a mask's donnings is made from; texts are escaped for the chart library. */
  interface Donnings {
    layout: Plotly.Layout;
    medians: Plotly.Trace;
    /** The configuration of each row, what is changed in it, and whether it is the mask as sold. */
    ids: string[];
    changes: string[];
    sold: boolean[];
    /** Diameter of a dot in pixels. */
    size: number;
    /** Measures of the small pictures in tables. */
    strip: Strip;
    /** By wearer, row and fit factor: the order of a wearer's line. */
    dots: Columns<PlacedDonning>;
  }

  // people_file.py: faces/people.json

  /** A configuration with tests that count, by id. */
  interface PeopleConfiguration {
    id: string;
    label: string;
    medical: 0 | 1;
    wearers: number;
    share_wearers: number;
    /** How many of `share_wearers` reached 100. */
    reached: number | null;
    /** The interval of its chance on any face; null without a model. */
    low: number | null;
    high: number | null;
  }

  interface PeopleWearer {
    /** mm, as measured or in the middle of the cell. */
    length: number | null;
    width: number | null;
    /** Places of configurations. */
    tried: number[];
    /** "low", "medium", "high" or "unknown". */
    bridge: string;
    /** For each of these every fit factor; "at least" 200 is −200. */
    readings: number[][];
    /** For each of these "1" where the wearer's own median reached 100, "0" where not, "?" where nobody knows. */
    passed: string;
  }

  interface People {
    configurations: Columns<PeopleConfiguration>;
    wearers: Columns<PeopleWearer>;
    /** What a list for a face rests on, and how such lists have done. */
    why: string;
    /** Without a model, what it rests on where somebody is near a measured face, or the middle of a cell. */
    why_near: { face: string; cell: string };
    check: string;
    own_check: string;
    name: string;
    /** Day of the newest test. */
    newest: string;
    invented: boolean;
  }

  // face_pages.py: faces/panel.json, and without a model faces/advice/*.json; cells are in contribute/form.json too

  /** A cell of the panel, its limits in mm. */
  interface Cell {
    name: string;
    number: number;
    length_low: number;
    length_high: number;
    width_low: number;
    width_high: number;
    share_percent: number;
  }

  interface Panel {
    cells: (Cell & { wearers: number })[];
    /** Least and most mm that a face may have. */
    limits: Record<"length" | "width", [number, number]>;
    /** The smallest face of the panel, in mm. */
    least: Record<"length" | "width", number>;
  }

  /** A configuration in a list for a face; its chances are null where there is no model. */
  interface Advised {
    configuration: string;
    label: string;
    changed: boolean;
    /** Of a medical mask, which is no respirator. */
    medical: boolean;
    chance: number | null;
    low: number | null;
    high: number | null;
    wearers: number;
    /** null for a face without a place in the panel. */
    near_wearers: number | null;
    little_known: boolean;
    fit_factor: number | null;
    share_at_100: number | null;
    share_wearers: number;
    /** How many of `share_wearers` reached 100. */
    reached: number | null;
  }

  interface Advice {
    basis: "model" | "summaries";
    why: string;
    /** How such lists have done; "" where nobody knows. */
    check: string;
    /** What own results are worth; "" where nobody knows. */
    own_check: string;
    first: (Advised & { cumulative_chance: number | null })[];
    best_as_sold: Advised | null;
    best_changed: Advised | null;
    ranked: Advised[];
    /** How many rows follow. */
    more: number;
  }

  // face_model_file.py: faces/model.json

  /** The face model, from which chances on any face follow; texts hold a character a number. */
  interface FaceModel {
    catalogue: {
      /** Ids, by mask. */
      configurations: string[];
      /** Place of each configuration's mask. */
      mask: number[];
      styles: string[];
      /** Place of each mask's style. */
      style: number[];
      /** Parts that each configuration has, as numbers below `parts`. */
      held: number[][];
      parts: number;
    };
    features: FaceFeatures;
    own_results: OwnResultWorth;
    posteriors: CondensedPosterior[];
    /** What the numbers of the texts are multiples of. */
    steps: Record<"mean" | "loading" | "left", number>;
  }

  /** What a face's features are made of. */
  interface FaceFeatures {
    /** Standardised length and width of 0 mm, and what a millimetre adds. */
    origin: number[];
    per_mm: number[];
    length_scale: number;
    /** Nodes of the functions in the plane of length and width, and their coefficients at each. */
    nodes: number[][];
    coefficients: number[][];
    /** For each feature the function of the plane and the one of the nose bridge that it multiplies. */
    plane_of: number[];
    bridge_of: number[];
    /** Means of the functions over a panel cell, and the mean kernel between two faces in it. */
    cells: Record<string, { plane: number[]; shared: number }>;
    /** The same of nose bridges; `height` is what a part acts by. */
    bridges: Record<string, { bridge: number[]; shared: number; height: number }>;
    /** Of all features, and of the first few. */
    turns: Turn[];
  }

  /** The turned features are `turn` · (features − `mean`). */
  interface Turn {
    mean: number[];
    turn: number[][];
  }

  type MeasuringMethod = Record<"protocol" | "instrument" | "size_selection", string>;

  /** What answers about the reader's own face are worth. */
  interface OwnResultWorth {
    /** Shares of wrong answers of each kind of fit test. */
    kinds: Record<string, { wrong_passes: number; wrong_fails: number; source: string }>;
    leaks: { limit: number; wrong: number };
    reference: MeasuringMethod;
    /** What levels of methods add to ln fit factor. */
    levels: [column: keyof MeasuringMethod, level: string][];
    mean: number[];
    covariance: number[][];
    /** Standard deviation of how people differ in a method. */
    person: number;
  }

  /** Standard deviations of the model's terms, ln fit factor. */
  type Scales = Record<
    | "style"
    | "mask"
    | "configuration"
    | "face"
    | "face_style"
    | "face_mask"
    | "wearer"
    | "wearer_mask"
    | "wearer_configuration"
    | "hack_bridge"
    | "redonning"
    | "hack"
    | "protocol"
    | "instrument"
    | "size_selection",
    number
  >;

  /** Texts of numbers, of loadings direction by direction. */
  interface CondensedPosterior {
    /** Before anything was told. */
    weight: number;
    scales: Scales;
    directions: number;
    own_directions: number;
    mean: string;
    bridge_mean: string;
    style_mean: string;
    mask_mean: string;
    loading: string;
    bridge_loading: string;
    style_loading: string;
    mask_loading: string;
    own_loading: string;
    own_mask_loading: string;
    left: string;
  }

  // bench_page.py: bench/known.json

  /** Variance of one donning on ln FF, with its degrees of freedom. */
  interface WearerScatter {
    variance: number;
    df: number;
  }

  /** What the bench page knows of the database beside the form. */
  interface Bench {
    scatter: Scatter;
    /** Of a wearer without repeats, and of each with some. */
    stranger: WearerScatter;
    wearers: Record<string, WearerScatter>;
    /** Ids of the parts that cannot be undone. */
    lasting: string[];
    /** What to beware of with parts, by id. */
    cautions: Record<string, string[]>;
    /** The columns of a table of tests, each with the key of an entry that it holds. */
    columns: [name: string, key: string][];
    /** Day of the newest test. */
    newest: string;
    invented: boolean;
    /** Tells one state of the data from another. */
    digest: string;
  }

  // contribute.py: contribute/form.json

  type Kind = "mask" | "part" | "test";

  /** A JSON Schema, or a node of one, as far as the form reads it. */
  interface Schema {
    $defs?: Record<string, Schema>;
    $ref?: string;
    type?: "object" | "array" | "string" | "number" | "integer" | "boolean";
    properties?: Record<string, Schema>;
    items?: Schema;
    required?: string[];
    description?: string;
    format?: string;
    pattern?: string;
    /** The words, one of which it is. */
    oneOf?: Word[];
    /** What a key left out means. */
    default?: boolean | number;
    minLength?: number;
    maxLength?: number;
    maxItems?: number;
    minimum?: number;
    exclusiveMinimum?: number;
    maximum?: number;
  }

  interface Word {
    const: string;
    title: string;
    description: string;
  }

  interface Timing {
    steps: { exercise: string; seconds: number }[];
    ambient_start: number;
    ambient_end: number;
    ambient_between: boolean;
  }

  interface KnownMask {
    id: string;
    label: string;
    maker: string;
    model: string;
    size: string;
    as_sold: Record<string, string>;
  }

  interface KnownPart {
    id: string;
    label: string;
    slot: string;
  }

  interface KnownFace {
    length_mm?: number;
    width_mm?: number;
    cell?: string;
    nose_bridge?: string;
  }

  interface Form {
    schemas: Record<Kind, Schema>;
    /** Addresses of the schemas, as seen from an entry. */
    schema_paths: Record<Kind, string>;
    /** The forms of texts, as the schemas write them. */
    patterns: Record<"id" | "text" | "link" | "unprintable", string>;
    /** Stands in place of a part that was taken out. */
    removed: string;
    /** The slots that a mask has, each with its label. */
    slots: [slot: string, label: string][];
    /** Ids that no file may have. */
    reserved: Record<"mask" | "part", string[]>;
    /** Pattern of names that people have. */
    given_name: string;
    /** First day that a test may be of. */
    earliest: string;
    hair_at_seal: string[];
    hair_reason: string;
    /** What a protocol takes in place of an exercise, by what was done. */
    stands_for: Record<string, string>;
    protocols: Record<string, Timing>;
    cells: Cell[];
    masks: KnownMask[];
    parts: KnownPart[];
    wearers: Record<string, KnownFace>;
  }
}

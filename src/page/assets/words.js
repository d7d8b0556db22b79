// The trade's words for the keys of a job file, in which order they are asked, and which drawing shows what to measure.
// What a key means and what may be written comes from the schema of the job file; nothing here repeats it.

// The sections of a job in shop order. `list` sections hold one table for each thing.
export const SECTIONS = [
  { key: "places", name: "Places", one: "place", named: true },
  { key: "schedule", name: "Days" },
  { key: "defaults", name: "For every part" },
  { key: "groups", name: "Doors and drawers", one: "group", list: true },
  { key: "parts", name: "Parts", one: "part", list: true },
  { key: "boards", name: "Boards to resaw", one: "board", list: true },
  { key: "panels", name: "Leaves to match", one: "panel", list: true },
  { key: "joints", name: "Joints", one: "joint", kinds: true },
  { key: "straighten", name: "Pulled straight", one: "bowed part", list: true },
  { key: "shelves", name: "Shelves", one: "shelf", list: true },
  { key: "glue", name: "Glue-up" },
  { key: "plinth", name: "Plinth" },
  { key: "install", name: "On site" },
  { key: "chance", name: "How sure" },
  { key: "job", name: "The piece" },
];

// Labels where the key's own words do not serve. Others are the key with spaces.
const LABELS = {
  at: "at, from the reference end",
  bow: "bow",
  close: "time to push a joint home",
  chord: "chord of the ring",
  diffusivity_factor: "how fast moisture moves",
  equilibrium_within: "moisture the air brings, within",
  exchange_factor: "how fast the surface takes up moisture",
  humidity_within: "humidity of a room, within",
  humidity_year_within: "humidity of one year, within",
  meter_bias_within: "the meter as a whole, within",
  meter_checks: "checks of the meter",
  meter_scatter_within: "a single reading, within",
  offcuts: "off-cuts measured twice",
  pith_depth_factor: "depth of the pith, by a factor",
  radial_with_tangential: "radial shrinkage goes with tangential",
  shrinkage_cov: "shrinkage from board to board",
  stiffness_cov: "stiffness from board to board",
  strength_cov: "strength from board to board",
  centre: "crown, from the centre line",
  crown: "height of the crown",
  depth: "depth",
  draws: "draws",
  drop_back: "floor drops to the back",
  drop_far: "floor drops at the far corner",
  drop_right: "floor drops to the right",
  fixed: "fixed at",
  gap: "gap of the halves",
  max: "maximum play",
  held: "held at",
  humidity: "relative humidity",
  into: "cut into",
  leaf: "written on it",
  min: "minimum play",
  lying: "how the leaves lie",
  moisture: "moisture content",
  on: "day it is cut",
  opening: "opening",
  pith_depth: "depth of the pith",
  pith_offset: "pith, from the centre line",
  place: "built-in place",
  read: "when it was read",
  rests_in: "rests in",
  rise: "rise of the ring",
  sawn: "sawn",
  units: "units shown first",
  species: "wood",
  species_table: "table of woods of your own",
  wood_fixed: "the woods are settled",
  finish_fixed: "the finish is settled",
  spread: "time to spread a joint",
  strips: "test strips",
  winter: "winter humidity",
  summer: "summer humidity",
};

export function label(key, path) {
  if (key === "gap" && !path.includes("strips")) {
    return "gap";
  }
  if (key === "crown" && path[0] === "straighten") {
    return "crown faces";
  }
  if (path[0] === "install" && path.length === 2 && key === "depth") {
    return "depth of the base";
  }
  return LABELS[key] ?? key.replaceAll("_", " ");
}

export function kindName(kind) {
  const known = {
    floating_tenons: "floating tenons",
    front_reveal: "reveal of a front",
    inset: "inset door or drawer front",
    overlay: "overlay door",
    rabbet: "solid back in a rabbet",
    edge_banding: "edge banding or lipping",
    table_top_button: "table-top buttons",
    cross_grain: "cross-grain bond",
  };
  return known[kind] ?? kind.replaceAll("_", " ");
}

// The kinds of joint by what a maker does with them.
export const JOINT_GROUPS = [
  { name: "Housings and grooves", kinds: ["dado", "dado_and_tenons", "groove", "sliding_dovetail", "half_lap"] },
  { name: "Frames", kinds: ["mortise_and_tenon", "floating_tenons", "dowels", "frame_and_panel", "mitre"] },
  { name: "Corners and edges", kinds: ["dovetail", "edge_glue", "edge_banding", "tongue_and_groove", "rabbet"] },
  { name: "Wide boards held flat", kinds: ["cleat", "breadboard_end", "table_top_button", "screw_slot", "screwed", "cross_grain", "plinth"] },
  { name: "Doors and drawers", kinds: ["inset", "overlay", "front_reveal", "hinged", "drawer", "drawer_bottom"] },
];

// Keys asked first, in this order; then the other required ones; the rest stand under "More".
const FIRST = {
  places: ["air", "seasons", "months", "place", "logger", "weather", "indoor"],
  schedule: ["measured", "assembled", "delivered"],
  parts: ["name", "species", "width", "thickness", "length", "moisture", "count", "rings", "finish"],
  boards: [
    "name", "species", "thickness", "width", "length", "leaves", "kerf", "moisture", "shell", "core", "drying", "bow",
    "rings", "strips",
  ],
  panels: ["name", "match", "part", "species", "moisture", "leaves", "leaves_file"],
  joints: ["name", "piece", "into", "rail", "face", "at", "depth", "opening", "width"],
  straighten: ["part", "bow", "crown", "supports", "support"],
  shelves: ["part", "load", "ends", "supports", "allowed"],
  glue: ["kind", "open_time", "temperature", "hands", "clamps", "joints", "trapped"],
  install: ["height", "length", "depth", "floor", "walls", "fastenings", "overhang"],
  job: ["name", "units", "draws", "seed", "species_table", "wood_fixed", "finish_fixed"],
  chance: [
    "shrinkage_cov", "humidity_within", "humidity_year_within", "meter_bias_within", "meter_scatter_within", "offcuts",
    "meter_checks",
  ],
  rings: ["sawn", "pith_depth", "pith_offset", "rise", "chord", "radius", "crown", "centre", "angles", "photo", "corners", "bark"],
  air: ["temperature", "humidity"],
  months: ["humidity", "temperature"],
  seasons: ["winter", "summer", "temperature"],
  indoor: ["heated", "heat_to", "vapour", "humidify_to"],
  finish: ["kind", "coats", "faces"],
  strips: ["length", "gap", "read"],
  leaves: ["leaf", "width", "thickness", "length", "bow", "pith_depth", "pith_offset", "show_face", "pair"],
  wanted: ["name", "length", "width", "thickness", "count"],
  support: ["name", "at", "hold", "grip"],
  floor: ["drop_right", "drop_back"],
  walls: ["widths", "part", "held", "gap"],
};

export function firstKeys(path) {
  const name = path.filter((step) => typeof step === "string").at(-1);
  const section = path[0];
  if (section === "joints") {
    return FIRST.joints;
  }
  if (section === "boards" && name === "parts" && path.length > 1) {
    return FIRST.wanted;
  }
  if (section === "places" && path.length === 2) {
    return FIRST.places;
  }
  return FIRST[name] ?? [];
}

// Sub-tables that stand open in the form at once, given or not.
export const ALWAYS_OPEN = new Set(["rings", "finish"]);

// One thing that can be given in several ways: each way with its keys.
export const WAYS = {
  rings: [
    { name: "only how it was sawn", keys: ["sawn"] },
    { name: "where the pith is", keys: ["pith_depth", "pith_offset"] },
    { name: "rise of a ring over a chord", keys: ["rise", "chord", "crown", "centre"] },
    { name: "a printed arc laid on the end grain", keys: ["radius", "crown", "centre"] },
    { name: "angles of the rings at places", keys: ["angles"] },
    { name: "a photo of the end", keys: ["photo", "corners", "bark"] },
  ],
  place: [
    { name: "one reading for the whole year", keys: ["air"] },
    { name: "winter and summer", keys: ["seasons"] },
    { name: "twelve months", keys: ["months"] },
    { name: "a built-in place and the house", keys: ["place", "indoor"] },
    { name: "a logger's file", keys: ["logger", "indoor"] },
    { name: "a weather file and the house", keys: ["weather", "indoor"] },
  ],
};

export function waysOf(path) {
  if (path.at(-1) === "rings") {
    return WAYS.rings;
  }
  return path[0] === "places" && path.length === 2 ? WAYS.place : null;
}

// Which list of names a key is picked from.
const PART_KEYS = new Set([
  "into", "piece", "rail", "part", "carrier", "case", "front", "top", "back", "stop", "to",
]);

export function namesFor(key, path, what) {
  // Only a name is picked: a measure may have the key of a part elsewhere, such as the front of an overhang.
  if (!/^a (name|chemistry|drying)/.test(what ?? "")) {
    return null;
  }
  if (key === "species") {
    return "species";
  }
  if (key === "place" && path[0] === "places") {
    return "places";
  }
  if (key === "kind" && path.at(-1) === "finish") {
    return "finishes";
  }
  if (key === "kind" && path[0] === "glue") {
    return "glues";
  }
  if (key === "drying") {
    return "dryings";
  }
  if (key === "made_in" || key === "stands_in" || key === "rests_in") {
    return "job places";
  }
  if (key === "board" && path[0] === "parts") {
    return "job boards";
  }
  if (PART_KEYS.has(key) && ["joints", "straighten", "shelves", "install", "panels", "glue", "chance"].includes(path[0])) {
    return "job parts";
  }
  return null;
}

// Names of the drawings in drawings.svg, by key, then by the table it stands in.
const DRAWINGS = {
  "rings.pith_depth": "pith-depth",
  "rings.pith_offset": "pith-offset",
  "rings.rise": "ring-rise",
  "rings.chord": "ring-chord",
  "rings.radius": "ring-radius",
  "rings.crown": "ring-crown",
  "rings.centre": "ring-centre",
  "rings.angles": "ring-angles",
  "rings.sawn": "sawn",
  "leaves.pith_depth": "pith-depth",
  "leaves.pith_offset": "pith-offset",
  "strips.gap": "strip-gap",
  "strips.length": "strip-length",
  "strips.bows": "bow",
  "joints.at": "at",
  "joints.depth": "channel-depth",
  "joints.width": "channel-width",
  "joints.face": "face",
  "joints.opening": "opening",
  "joints.span": "opening",
  "joints.engagement": "engagement",
  "joints.clearance": "clearance",
  "joints.groove_width": "channel-width",
  "joints.min": "play",
  "joints.max": "play",
  "joints.gap": "play",
  "joints.hinge_gap": "play",
  "joints.hinge_reveal": "play",
  "joints.screws": "screws",
  "joints.fixed": "screws",
  "joints.screw": "slot",
  "joints.margin": "slot",
  "joints.from_fixed": "from-fixed",
  "joints.tenon_width": "tenon-width",
  "joints.tenon_length": "tenon-length",
  "joints.tenon_thickness": "tenon-thickness",
  "joints.cheek": "tenon-thickness",
  "joints.tenon": "tenon-length",
  "joints.tongue": "engagement",
  "joints.run": "run",
  "joints.set_back": "set-back",
  "joints.step": "set-back",
  "joints.held": "held",
  "joints.length": "length",
  "joints.groove_at": "at",
  "joints.stand_off": "play",
  "straighten.supports": "supports",
  "straighten.bow": "bow",
  "straighten.cup": "cup",
  "straighten.crown": "crown",
  "support.at": "supports",
  "support.out_of_line": "out-of-line",
  "hold.glue_length": "glue-spot",
  "hold.glue_width": "glue-spot",
  "shelves.load": "load",
  "shelves.supports": "supports",
  "shelves.allowed": "sag",
  "shelves.ends": "supports",
  "loads.at": "load",
  "install.height": "piece",
  "install.length": "piece",
  "install.depth": "piece",
  "floor.drop_right": "floor",
  "floor.drop_back": "floor",
  "floor.drop_far": "floor",
  "floor.right_over": "floor",
  "floor.back_over": "floor",
  "walls.widths": "walls",
  "walls.gap": "walls",
  "fastenings.at": "screws",
  "fastenings.screw": "slot",
  "fastenings.margin": "slot",
  "overhang.front": "overhang",
  "overhang.back": "overhang",
  "air.temperature": "air",
  "air.humidity": "air",
  "finish.kind": "finish",
  "finish.coats": "finish",
  "finish.faces": "finish",
};

const BY_KEY = {
  width: "width",
  thickness: "thickness",
  length: "length",
  moisture: "meter",
  shell: "shell-core",
  core: "shell-core",
  bow: "bow",
  crook: "crook",
  cup: "cup",
  twist: "twist",
  kerf: "kerf",
  leaf_thicknesses: "kerf",
  leaves: "kerf",
  plane_bark: "plane",
  plane_other: "plane",
  clean_up: "plane",
  planed_from: "plane",
  leaf_weight: "scale",
  sawn_side: "marked",
  show_face: "marked",
  lying: "stickered",
  figure: "bookmatch",
};

export function drawing(key, path) {
  const table = path[0] === "joints" ? "joints" : path.filter((step) => typeof step === "string").at(-1);
  return DRAWINGS[`${table}.${key}`] ?? (["joints", "glue", "chance", "job"].includes(path[0]) ? null : BY_KEY[key] ?? null);
}

// What a new table begins with, in either system, so that it has an answer at once.
const SIZES = {
  metric: {
    at: "100 mm", depth: "9 mm", bow: "2 mm", width: "180 mm", thickness: "20 mm", length: "600 mm", opening: "300 mm",
    load: "0.4 N/mm", run: "320 mm", screws: "40 mm, 150 mm, 260 mm", fixed: "150 mm", screw: "5 mm", gap: "1 mm",
    from_fixed: "200 mm", set_back: "0 mm", band: "60 mm", span: "600 mm", height: "800 mm", tenon_width: "60 mm",
    tenon: "30 mm", tongue: "8 mm", front: "10 mm", drop_right: "3 mm", drop_back: "3 mm", widths: "1600 mm, 1598 mm",
    rise: "10 mm", chord: "150 mm", glue_length: "300 mm", glue_width: "20 mm", force: "100 N", engagement: "6 mm",
    supports: "0 mm, 600 mm", pins: "100 mm", to: "300 mm", from: "0 mm", below_top: "0 mm", groove_at: "15 mm",
    temperature: "20C", piece_depth: "30 mm", cleat_at: "100 mm", clearance: "2 mm", before: "12%", after: "7%",
    default_length: "20 mm",
  },
  inch: {
    at: "4in", depth: "3/8in", bow: "1/16in", width: "7in", thickness: "3/4in", length: "24in", opening: "12in",
    load: "25lb/ft", run: "13in", screws: "1 1/2in, 6in, 10 1/2in", fixed: "6in", screw: "3/16in", gap: "1/32in",
    from_fixed: "8in", set_back: "0in", band: "2 1/2in", span: "24in", height: "32in", tenon_width: "2 1/2in",
    tenon: "1 1/4in", tongue: "5/16in", front: "3/8in", drop_right: "1/8in", drop_back: "1/8in", widths: "63in, 62 7/8in",
    rise: "3/8in", chord: "6in", glue_length: "12in", glue_width: "3/4in", force: "25lbf", engagement: "1/4in",
    supports: "0in, 24in", pins: "4in", to: "12in", from: "0in", below_top: "0in", groove_at: "5/8in",
    temperature: "68F", piece_depth: "1 1/4in", cleat_at: "4in", clearance: "1/16in", before: "12%", after: "7%",
    default_length: "3/4in",
  },
};

export function beginning(key, what, system) {
  const sizes = SIZES[system] ?? SIZES.metric;
  if (sizes[key] !== undefined && /length|load|force|temperature|thickness|moisture/.test(what)) {
    return sizes[key];
  }
  if (/moisture content/.test(what)) {
    return "9%";
  }
  if (/relative humidity/.test(what)) {
    return key === "winter" ? "30%" : key === "summer" ? "55%" : "50%";
  }
  if (/share in percent/.test(what)) {
    return "10%";
  }
  if (/^lengths/.test(what)) {
    return sizes.supports;
  }
  if (/length|rough thickness/.test(what)) {
    return sizes.default_length;
  }
  return null;
}

// Figures and places in words of the trade.

let naming = { places: 'stage', lengths: 'metric', grid_m: 1, corner: [0, 0] };

/** How the show names places and lengths. */
export function nameAs(of) {
  naming = { ...naming, ...of };
}

/** A length: "0.75 m", or feet and inches where the show has them. */
export function length(m) {
  return naming.lengths?.startsWith('f') ? feet(m) : `${plain(m)} m`;
}

/** A number with so many decimals and a true minus; no "-0.00". */
export function plain(value, decimals = 2) {
  const text = Number(value).toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '\u2212');
}

// To the half inch, as on sheets.
function feet(m) {
  const halves = Math.round((Math.abs(m) / 0.0254) * 2);
  const [foot, inches] = [Math.floor(halves / 24), (halves % 24) / 2];
  return `${m < 0 && halves > 0 ? '\u2212' : ''}${foot}\u2032 ${inches}\u2033`;
}

/** A square of a grid whose columns have letters from stage right and whose rows have numbers from downstage. */
export function square([x, y]) {
  const cell = (at, axis) => Math.floor((at - naming.corner[axis]) / naming.grid_m);
  const [column, row] = [cell(x, 0), cell(y, 1)];
  return column < 0 || column > 25 || row < 0 ? 'off the grid' : `${String.fromCharCode(65 + column)}${row + 1}`;
}

/** A place: "0.75 m SL, 0.55 m US"; its square, x and y where a show has no sides. */
export function place([x, y]) {
  if (naming.places === 'grid') return `${square([x, y])} (x ${length(x)}, y ${length(y)})`;
  return `${side(x, 'SL', 'SR')}, ${side(y, 'US', 'DS')}`;
}

function side(value, positive, negative) {
  if (Math.abs(value) < 0.005) return 'centre';
  return `${length(Math.abs(value))} ${value > 0 ? positive : negative}`;
}

/** Seconds with one decimal. */
export function seconds(s) {
  return `${plain(s, 1)} s`;
}

/** "1 change", "2 changes". */
export function count(number, one, many = `${one}s`) {
  return `${number} ${number === 1 ? one : many}`;
}

/** A figure of a finding: "0.35 m, needs 0.50"; a negative room is an overlap. */
export function figure(of) {
  const least = of.at_least !== undefined;
  const decimals = of.unit === 'm' ? 2 : 1;
  const limit = plain(of.at_least ?? of.at_most, decimals);
  if (of.unit === 'm' && least && of.value < 0) {
    return Number(limit) === 0 ? `by ${plain(-of.value)} m` : `overlaps by ${plain(-of.value)} m, needs ${limit} clear`;
  }
  return `${plain(of.value, decimals)}${of.unit ? ` ${of.unit}` : ''}, ${least ? 'needs' : 'limit'} ${limit}`;
}

/** A cue: "3 WALK TO C". */
export function cueName(cue) {
  return cue ? `${cue.number} ${cue.name}` : 'before the first cue';
}

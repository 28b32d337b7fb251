// What moves and what goes with the cue: props by height band, keep-outs, lines, zones, wedges, marks, people, cameras.

import { svg } from './dom.js';
import { Tags, badge, line, loops, paths, toward } from './draw.js';
import { markPath } from './mark-shape.js';
import { on } from './live.js';
import { chosen } from './chosen.js';
import { refill, soon } from './sparing.js';
import { cueNow, people as everybody, stage, thing } from './stage.js';

/** A camera that looks to the right: body and lens, in pixels. */
const CAMERA = 'M-9-6H5v4l7-5v14l-7-5v4H-9z';

const isChosen = (kind, name) => (chosen.kind === kind && chosen.name === name ? ' chosen' : '');

/** What a person is called beside their shape. */
export function whoOf(person) {
  return thing('person', person)?.who ?? 'white-circle';
}

function present() {
  return (stage.moment?.props ?? []).filter(({ life, at }) => life !== 'gone' && at);
}

function props() {
  return present().flatMap((prop) =>
    prop.outlines.map(({ band, layer, loops: all }) =>
      [loops(all), `prop ${band} ${prop.life}${isChosen('prop', prop.name)}`, `${prop.name}: ${band}, ${layer}`]));
}

function propTags() {
  return present().map(({ name, life, at }) => ({
    at, words: life === 'live' ? name : `${name} ${life}`, below: 12, mayGo: true,
    classes: `prop-tag${isChosen('prop', name)}`,
  }));
}

function marks() {
  const called = new Set(cueNow()?.places.map(({ mark }) => mark));
  return (stage.show?.marks ?? []).map((mark) => {
    const classes = `mark ${called.has(mark.name) ? 'called' : 'idle'}${isChosen('mark', mark.name)}`;
    return [markPath(mark), classes, `mark ${mark.name}`];
  });
}

function markTags() {
  return (stage.show?.marks ?? []).map(({ name, at }) => ({
    at, words: name, below: 22, mayGo: true, classes: `mark-tag${isChosen('mark', name)}`,
  }));
}

function people() {
  return everybody().map((person) => {
    const [fx, fy] = toward(person.facing_deg);
    const nose = `M${fx * 9} ${-fy * 9}L${fx * 17} ${-fy * 17}`;
    const who = whoOf(person.name);
    return {
      at: person.at, words: person.name, below: 17, sign: `${who} ${nose}`,
      node: () => [svg('path', { d: nose, class: 'nose' }), badge(who, 15)],
      classes: `person on-${person.on}${isChosen('person', person.name)}`,
    };
  });
}

function bodies() {
  return everybody().map(({ name, at: [cx, cy], on: where }) => {
    const classes = `body ${whoOf(name)} on-${where}${isChosen('person', name)}`;
    return { cx, cy, r: thing('person', name)?.radius_m ?? 0.25, class: classes };
  });
}

function lines() {
  const places = cueNow()?.places ?? [];
  return places.filter(({ line: name }) => name).map(({ person, line: name }) => {
    const walk = stage.show.lines.find((one) => one.name === name);
    return walk && [line(walk.points), `walk ${whoOf(person)}`, `walk line ${name}: ${person}`];
  });
}

function keepOuts() {
  return (stage.moment?.keep_outs ?? []).map((one) => [loops(one.loops), 'keep-out', `keep-out for ${one.class}`]);
}

// Every side can be pointed at, and says what bounds it.
function zones() {
  return (stage.zones?.zones ?? []).flatMap((zone) => zone.loops.flatMap(({ points, sides }) => [
    [loops([points]), `zone ${whoOf(zone.person)}`],
    ...points.map((from, i) => [line([from, points[(i + 1) % points.length]]), 'zone-side',
      `${zone.person} at ${zone.mark}: ${sides[i] ?? ''}`]),
  ]));
}

function wedges() {
  const { wedges: all = [], jibs = [] } = stage.wedges ?? {};
  return [
    ...all.map(({ shot, outline }) => [loops([outline]), 'wedge', `camera wedge of ${shot}`]),
    ...jibs.map(({ camera, outline }) => [loops([outline]), 'jib', `sweep of ${camera}`]),
  ];
}

/** Shots of a cue, or all where there is none. */
export function shotsOf(camera) {
  const wanted = cueNow()?.shots ?? [];
  return stage.show.shots.filter((shot) => shot.camera === camera && wanted.includes(shot.name));
}

function cameras() {
  return (stage.show?.cameras ?? []).flatMap((camera) => shotsOf(camera.name).map((shot) => {
    const { from, look } = shot.keys[0];
    return [line([from ?? camera.at, look].map(([x, y]) => [x, y])), 'sight', `${shot.name} looks here`];
  }));
}

function cameraTags() {
  // A camera that only moves live is nowhere on the plan.
  return (stage.show?.cameras ?? []).filter(({ at }) => at).map((camera) => {
    const key = (shotsOf(camera.name)[0] ?? stage.show.shots.find((shot) => shot.camera === camera.name))?.keys[0];
    const look = key?.look ?? [0, 0];
    const turn = (Math.atan2(look[1] - camera.at[1], look[0] - camera.at[0]) * -180) / Math.PI;
    const transform = `rotate(${turn.toFixed(1)})`;
    return {
      at: camera.at, words: camera.name, below: 20, sign: transform,
      node: () => svg('path', { d: CAMERA, transform, class: 'camera' }),
      classes: `camera-tag${isChosen('camera', camera.name)}`,
    };
  });
}

/** Begins to draw what moves. */
export function beginMoment(groups) {
  const tags = {};
  tags.people = new Tags(groups['people-tags']);
  tags.mark = new Tags(groups['mark-tags'], [tags.people]);
  tags.prop = new Tags(groups['prop-tags'], [tags.people, tags.mark]);
  tags.camera = new Tags(groups['camera-tags']);
  const outlines = svg('g');
  const round = svg('g');
  groups.props.append(outlines, round);
  const still = () => {
    paths(groups.marks, marks());
    paths(groups.lines, lines());
    paths(groups.cameras, cameras());
    tags.camera.fill(cameraTags());
  };
  // Words of marks make room for those of people, and words of props for both.
  const moving = () => {
    paths(outlines, props());
    refill(round, bodies(), JSON.stringify, (body) => svg('circle', body));
    paths(groups.keepouts, keepOuts());
    tags.people.fill(people());
    tags.mark.fill(markTags());
    tags.prop.fill(propTags());
  };
  const [drawStill, drawMoving] = [soon(still), soon(moving)];
  ['stage', 'cue', 'chosen'].forEach((kind) => on(kind, drawStill));
  ['stage', 'cue', 'chosen', 'moment'].forEach((kind) => on(kind, drawMoving));
  on('zones', soon(() => paths(groups.zones, zones())));
  on('wedges', soon(() => paths(groups.wedges, wedges())));
  on('view', () => Object.values(tags).forEach((of) => of.place()));
}

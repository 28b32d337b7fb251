// What moves and what goes with the cue: props by height band, keep-outs, lines, zones, wedges, marks, people, cameras.

import { put, svg } from './dom.js';
import { Tags, badge, line, loops, path, toward } from './draw.js';
import { markPath } from './mark-shape.js';
import { on } from './live.js';
import { chosen } from './chosen.js';
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
      path(loops(all), `prop ${band} ${prop.life}${isChosen('prop', prop.name)}`, `${prop.name}: ${band}, ${layer}`)));
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
    return path(markPath(mark), classes, `mark ${mark.name}`);
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
    const nose = svg('path', { d: `M${fx * 9} ${-fy * 9}L${fx * 17} ${-fy * 17}`, class: 'nose' });
    return {
      at: person.at, node: [nose, badge(whoOf(person.name), 15)], words: person.name, below: 17,
      classes: `person on-${person.on}${isChosen('person', person.name)}`,
    };
  });
}

function bodies() {
  return everybody().map(({ name, at: [cx, cy], on: where }) => {
    const classes = `body ${whoOf(name)} on-${where}${isChosen('person', name)}`;
    return svg('circle', { cx, cy, r: thing('person', name)?.radius_m ?? 0.25, class: classes });
  });
}

function lines() {
  const places = cueNow()?.places ?? [];
  return places.filter(({ line: name }) => name).map(({ person, line: name }) => {
    const walk = stage.show.lines.find((one) => one.name === name);
    return walk && path(line(walk.points), `walk ${whoOf(person)}`, `walk line ${name}: ${person}`);
  });
}

function keepOuts() {
  return (stage.moment?.keep_outs ?? []).map((one) => path(loops(one.loops), 'keep-out', `keep-out for ${one.class}`));
}

// Every side can be pointed at, and says what bounds it.
function zones() {
  return (stage.zones?.zones ?? []).flatMap((zone) => zone.loops.flatMap(({ points, sides }) => [
    path(loops([points]), `zone ${whoOf(zone.person)}`),
    ...points.map((from, i) => path(line([from, points[(i + 1) % points.length]]), 'zone-side',
      `${zone.person} at ${zone.mark}: ${sides[i] ?? ''}`)),
  ]));
}

function wedges() {
  const { wedges: all = [], jibs = [] } = stage.wedges ?? {};
  return [
    ...all.map(({ shot, outline }) => path(loops([outline]), 'wedge', `camera wedge of ${shot}`)),
    ...jibs.map(({ camera, outline }) => path(loops([outline]), 'jib', `sweep of ${camera}`)),
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
    return path(line([from ?? camera.at, look].map(([x, y]) => [x, y])), 'sight', `${shot.name} looks here`);
  }));
}

function cameraTags() {
  // A camera that only moves live is nowhere on the plan.
  return (stage.show?.cameras ?? []).filter(({ at }) => at).map((camera) => {
    const key = (shotsOf(camera.name)[0] ?? stage.show.shots.find((shot) => shot.camera === camera.name))?.keys[0];
    const look = key?.look ?? [0, 0];
    const turn = (Math.atan2(look[1] - camera.at[1], look[0] - camera.at[0]) * -180) / Math.PI;
    const body = svg('path', { d: CAMERA, transform: `rotate(${turn.toFixed(1)})`, class: 'camera' });
    return {
      at: camera.at, node: body, words: camera.name, below: 20, classes: `camera-tag${isChosen('camera', camera.name)}`,
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
  const moving = () => {
    put(groups.props, props(), bodies());
    put(groups.keepouts, keepOuts());
    tags.people.fill(people());
    tags.mark.place();
    tags.prop.fill(propTags());
  };
  const still = () => {
    put(groups.marks, marks());
    put(groups.lines, lines());
    put(groups.cameras, cameras());
    tags.mark.fill(markTags());
    tags.camera.fill(cameraTags());
  };
  on('moment', moving);
  on('zones', () => put(groups.zones, zones()));
  on('wedges', () => put(groups.wedges, wedges()));
  ['stage', 'cue', 'chosen'].forEach((kind) => on(kind, () => {
    still();
    moving();
  }));
  on('view', () => Object.values(tags).forEach((of) => of.place()));
}

// The page where a show is rehearsed: it puts the parts together.

import { attachedPanel } from './attached-panel.js';
import { boxPanel } from './box-panel.js';
import { beginCues } from './cues.js';
import { byId } from './dom.js';
import { beginEdits } from './edits.js';
import { faultsPanel } from './faults-panel.js';
import { beginFindings } from './findings.js';
import { beginList } from './findings-list.js';
import { beginHead } from './head.js';
import { beginKeys } from './keys.js';
import { beginLayers } from './layers.js';
import { beginLegend } from './legend.js';
import { connect } from './live.js';
import { beginLook } from './look.js';
import { beginPlan } from './plan.js';
import { beginShots } from './shots.js';
import { beginStage } from './stage.js';
import { beginTalk } from './talk.js';
import { beginThing } from './thing.js';
import { beginTime } from './time.js';
import { beginZones } from './zones-list.js';

// A menu closes when the focus or a press goes elsewhere.
function menus() {
  document.addEventListener('pointerdown', ({ target }) => {
    for (const menu of document.querySelectorAll('details.menu[open]')) if (!menu.contains(target)) menu.open = false;
  });
  document.addEventListener('focusin', ({ target }) => {
    for (const menu of document.querySelectorAll('details.menu[open]')) if (!menu.contains(target)) menu.open = false;
  });
}

// What listens first hears first: the stage before its pictures.
beginStage();
beginLook();
beginEdits();
beginList();
beginHead();
beginLayers();
beginPlan();
beginCues();
beginTime();
beginThing();
beginShots();
beginFindings();
beginZones();
beginTalk();
boxPanel(byId('box'));
faultsPanel(byId('pulls-body'));
attachedPanel(byId('attached-body'));
beginLegend();
beginKeys();
menus();
byId('shot-large-close').addEventListener('click', () => byId('shot-large').close());
connect();

// One visit: its check list, verdicts, photos, parts and signature.

import { keepSending } from "./send.js";
import { watchStatus } from "./status.js";
import { watchNeeds } from "./needs.js";
import { register, watchSignOut } from "./offline.js";
import { watchStamps } from "./stamps.js";
import { watchReadings } from "./readings.js";
import { watchVerdicts } from "./verdicts.js";
import { watchLists } from "./lists.js";
import { watchPhotos } from "./photos.js";
import { watchRemovals } from "./removal.js";
import { watchSignature } from "./signature.js";

watchStatus();
watchNeeds();
watchStamps();
watchReadings();
watchVerdicts();
watchLists();
watchPhotos();
watchRemovals();
watchSignature();
watchSignOut();
keepSending();
addEventListener("load", register);

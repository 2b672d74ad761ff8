// On the page to sign in on: what earlier visits kept of stages is cleared away. Marks stay.

import { forgetPages } from "../frame/offline/caches.js";

forgetPages();
